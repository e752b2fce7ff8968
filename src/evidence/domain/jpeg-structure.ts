/** One component of a JPEG frame (ITU-T T.81 B.2.2). */
export interface JpegComponent {
  readonly id: number;
  /** Horizontal and vertical sampling factors, 1 to 4. */
  readonly h: number;
  readonly v: number;
  /** Number of its quantisation table. */
  readonly table: number;
}

/** What the markers of a JPEG say, up to its first scan. */
export interface JpegStructure {
  /** 0xc0 baseline, 0xc1 extended sequential, 0xc2 progressive, and so on. */
  readonly frame: number;
  readonly bitsPerSample: number;
  readonly width: number;
  readonly height: number;
  readonly components: readonly JpegComponent[];
  /** Quantisation tables by number: 64 steps in zigzag order. */
  readonly quantisation: ReadonlyMap<number, Uint16Array>;
  /** Huffman tables by class × 16 + number: 16 counts, then the symbols. */
  readonly huffman: ReadonlyMap<number, Uint8Array>;
  /** Minimum coded units between restart markers; 0 for none. */
  readonly restartInterval: number;
  readonly scan: JpegScan;
}

/** The header of a scan (B.2.3) and where its coded data begins. */
export interface JpegScan {
  readonly components: readonly { readonly id: number; readonly dc: number; readonly ac: number }[];
  readonly dataAt: number;
}

/** Segments walked before giving up. */
const MAX_SEGMENTS = 2000;

/**
 * Reads the marker segments of a JPEG up to and with its first scan header. Undefined for anything that is broken before it: these
 * numbers are hints, and whether a file can be opened is decided elsewhere.
 */
export function jpegStructure(bytes: Uint8Array): JpegStructure | undefined {
  if (bytes[0] !== 0xff || bytes[1] !== 0xd8) return undefined;
  const draft: Draft = { quantisation: new Map(), huffman: new Map(), restartInterval: 0 };
  let at = 2;
  for (let segment = 0; segment < MAX_SEGMENTS && at + 4 <= bytes.length; segment += 1) {
    if (bytes[at] !== 0xff) return undefined;
    const marker = bytes[at + 1] ?? 0;
    if (marker === 0xff) {
      at += 1;
      continue;
    }
    if (marker === 0x01 || (marker >= 0xd0 && marker <= 0xd8)) {
      at += 2;
      continue;
    }
    const length = ((bytes[at + 2] ?? 0) << 8) | (bytes[at + 3] ?? 0);
    const body = bytes.subarray(at + 4, at + 2 + length);
    if (length < 2 || body.length !== length - 2) return undefined;
    if (marker === 0xda) return finished(draft, scanOf(body, at + 2 + length));
    if (!readSegment(draft, marker, body)) return undefined;
    at += 2 + length;
  }
  return undefined;
}

interface Draft {
  frame?: Pick<JpegStructure, 'frame' | 'bitsPerSample' | 'width' | 'height' | 'components'>;
  readonly quantisation: Map<number, Uint16Array>;
  readonly huffman: Map<number, Uint8Array>;
  restartInterval: number;
}

function finished(draft: Draft, scan: JpegScan | undefined): JpegStructure | undefined {
  const { frame, quantisation, huffman, restartInterval } = draft;
  return frame && scan && { ...frame, quantisation, huffman, restartInterval, scan };
}

/** @returns false when the segment contradicts itself */
function readSegment(draft: Draft, marker: number, body: Uint8Array): boolean {
  if (marker === 0xdb) return readQuantisation(draft.quantisation, body);
  if (marker === 0xc4) return readHuffman(draft.huffman, body);
  if (marker === 0xdd) {
    draft.restartInterval = ((body[0] ?? 0) << 8) | (body[1] ?? 0);
    return body.length === 2;
  }
  const isFrame = marker >= 0xc0 && marker <= 0xcf && marker !== 0xc8 && marker !== 0xcc;
  if (!isFrame || draft.frame) return true;
  const components = componentsOf(body);
  if (!components) return false;
  const height = ((body[1] ?? 0) << 8) | (body[2] ?? 0);
  const width = ((body[3] ?? 0) << 8) | (body[4] ?? 0);
  draft.frame = { frame: marker, bitsPerSample: body[0] ?? 0, width, height, components };
  return true;
}

function componentsOf(body: Uint8Array): JpegComponent[] | undefined {
  const count = body[5] ?? 0;
  if (count < 1 || count > 4 || body.length < 6 + count * 3) return undefined;
  const components = Array.from({ length: count }, (_, index) => {
    const [id = 0, factors = 0, table = 0] = body.subarray(6 + index * 3, 9 + index * 3);
    return { id, h: factors >> 4, v: factors & 15, table };
  });
  return components.every(({ h, v }) => h >= 1 && h <= 4 && v >= 1 && v <= 4) ? components : undefined;
}

function readQuantisation(tables: Map<number, Uint16Array>, body: Uint8Array): boolean {
  let at = 0;
  while (at < body.length) {
    const head = body[at] ?? 0;
    const wide = head >> 4 === 1;
    const size = wide ? 128 : 64;
    const steps = body.subarray(at + 1, at + 1 + size);
    if (steps.length !== size || head >> 4 > 1) return false;
    tables.set(
      head & 15,
      Uint16Array.from({ length: 64 }, (_, k) =>
        wide ? ((steps[2 * k] ?? 0) << 8) | (steps[2 * k + 1] ?? 0) : (steps[k] ?? 0),
      ),
    );
    at += 1 + size;
  }
  return true;
}

function readHuffman(tables: Map<number, Uint8Array>, body: Uint8Array): boolean {
  let at = 0;
  while (at < body.length) {
    const symbols = body.subarray(at + 1, at + 17).reduce((sum, count) => sum + count, 0);
    const table = body.subarray(at + 1, at + 17 + symbols);
    if (table.length !== 16 + symbols || symbols > 256) return false;
    tables.set(body[at] ?? 0, table);
    at += 17 + symbols;
  }
  return true;
}

function scanOf(body: Uint8Array, dataAt: number): JpegScan | undefined {
  const count = body[0] ?? 0;
  if (count < 1 || count > 4 || body.length < 1 + count * 2) return undefined;
  const components = Array.from({ length: count }, (_, index) => {
    const [id = 0, tables = 0] = body.subarray(1 + index * 2, 3 + index * 2);
    return { id, dc: tables >> 4, ac: tables & 15 };
  });
  return { components, dataAt };
}
