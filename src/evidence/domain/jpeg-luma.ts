import type { JpegStructure } from './jpeg-structure.js';

/** The first nine AC modes in zigzag order, the ones with enough large coefficients to count. */
export const MODES = 9;
/** Quantised magnitudes that are counted; larger ones are rare. */
export const LARGEST = 24;

/** How often each quantised magnitude 1 to 24 occurs in each of the first nine AC modes of the luma blocks. */
export interface LumaHistogram {
  /** `counts[mode × 25 + magnitude]`, mode 0 to 8; magnitude 0 stays empty. */
  readonly counts: Uint32Array;
  readonly blocks: number;
}

/** Why there is no histogram; none of them says anything about the photo. */
export type NoHistogram = 'progressive' | 'not readable';

/**
 * Counts quantised luma coefficients straight from the entropy-coded data of a sequential Huffman JPEG (ITU-T T.81 annex F), without
 * making pixels of them, so that nothing is rounded on the way. It stops after `most` blocks that hold anything, or where the data
 * ends or breaks: what was counted until then counts. Progressive files spread each coefficient over several scans and are not read.
 */
export function lumaHistogram(bytes: Uint8Array, structure: JpegStructure, most = 12_000): LumaHistogram | NoHistogram {
  if (structure.frame === 0xc2) return 'progressive';
  const plan = planOf(structure);
  if (!plan) return 'not readable';
  const counts = new Uint32Array(MODES * (LARGEST + 1));
  const reader = new BlockReader(bytes, structure.scan.dataAt);
  const { units, mcus } = plan;
  let blocks = 0;
  let told = 0;
  let untilRestart = structure.restartInterval || mcus;
  for (let mcu = 0; mcu < mcus && told < most; mcu += 1) {
    if (untilRestart === 0) {
      if (!reader.restart()) break;
      untilRestart = structure.restartInterval;
    }
    untilRestart -= 1;
    for (const { dc, ac, luma } of units) {
      const found = reader.block(dc, ac, luma ? counts : undefined);
      if (found < 0) return blocks > 0 ? { counts, blocks } : 'not readable';
      if (luma) blocks += 1;
      if (luma && found > 0) told += 1;
    }
  }
  return { counts, blocks };
}

interface Unit {
  readonly dc: Uint16Array;
  readonly ac: Uint16Array;
  readonly luma: boolean;
}

/** The blocks of one minimum coded unit in order, and how many units there are (A.2). */
function planOf(structure: JpegStructure): { readonly units: readonly Unit[]; readonly mcus: number } | undefined {
  const { components, scan, huffman, width, height, frame, bitsPerSample } = structure;
  if (frame > 0xc1 || bitsPerSample !== 8 || width === 0 || height === 0) return undefined;
  const largestH = Math.max(...components.map(({ h }) => h));
  const largestV = Math.max(...components.map(({ v }) => v));
  const lumaId = components[0]?.id;
  const alone = scan.components.length === 1;
  const units: Unit[] = [];
  for (const { id, dc, ac } of scan.components) {
    const component = components.find((each) => each.id === id);
    const tables = [huffman.get(dc), huffman.get(16 + ac)].map((table) => table && lookup(table));
    const [dcTable, acTable] = tables;
    if (!component || !dcTable || !acTable) return undefined;
    const count = alone ? 1 : component.h * component.v;
    for (let n = 0; n < count; n += 1) units.push({ dc: dcTable, ac: acTable, luma: id === lumaId });
  }
  if (!units.some(({ luma }) => luma)) return undefined;
  const [first] = components;
  const across = alone && first ? (width * first.h) / (8 * largestH) : width / (8 * largestH);
  const down = alone && first ? (height * first.v) / (8 * largestV) : height / (8 * largestV);
  return { units, mcus: Math.ceil(across) * Math.ceil(down) };
}

/**
 * Every 16 bits that may follow → length of the code in front × 256 + its symbol; 0 where no code fits (annex C). @param table 16
 * counts, then the symbols
 */
function lookup(table: Uint8Array): Uint16Array | undefined {
  const entries = new Uint16Array(65_536);
  let code = 0;
  let symbol = 16;
  for (let length = 1; length <= 16; length += 1) {
    for (let n = table[length - 1] ?? 0; n > 0; n -= 1) {
      const from = code << (16 - length);
      if (from >= 65_536) return undefined;
      entries.fill((length << 8) | (table[symbol] ?? 0), from, from + (1 << (16 - length)));
      symbol += 1;
      code += 1;
    }
    code <<= 1;
  }
  return entries;
}

/** Reads blocks from coded data, with the stuffed zero behind each 0xff taken out as it goes (B.1.1.5). */
class BlockReader {
  /** Bits read but not used: the low `have` bits. */
  private bits = 0;
  private have = 0;
  /** A marker or the end was met: only padding follows, and padding past a whole code is a broken file. */
  private padded = 0;

  private readonly bytes: Uint8Array;
  private at: number;

  constructor(bytes: Uint8Array, at: number) {
    this.bytes = bytes;
    this.at = at;
  }

  /** Moves behind the next restart marker. @returns false when another marker or the end comes first */
  restart(): boolean {
    this.bits = 0;
    this.have = 0;
    this.padded = 0;
    for (let at = this.bytes.indexOf(0xff, this.at); at !== -1; at = this.bytes.indexOf(0xff, at + 1)) {
      const next = this.bytes[at + 1] ?? 0xd9;
      if (next === 0 || next === 0xff) continue;
      if (next < 0xd0 || next > 0xd7) return false;
      this.at = at + 2;
      return true;
    }
    return false;
  }

  /** @returns how many of the first nine AC coefficients are not zero; −1 when the data ended or broke */
  block(dc: Uint16Array, ac: Uint16Array, counts: Uint32Array | undefined): number {
    const size = this.symbol(dc);
    if (size < 0 || size > 11) return -1;
    this.skip(size);
    let found = 0;
    for (let k = 1; k < 64;) {
      const symbol = this.symbol(ac);
      if (symbol < 0) return -1;
      const bits = symbol & 15;
      const run = symbol >> 4;
      if (bits === 0) {
        if (run < 15) break;
        k += 16;
        continue;
      }
      k += run;
      if (k > 63) return -1;
      const value = this.take(bits);
      if (k <= MODES && counts) {
        found += 1;
        // F.2.2.1: a value whose first bit is 0 is negative, and its magnitude is the bits turned round.
        const magnitude = value >> (bits - 1) === 1 ? value : (1 << bits) - 1 - value;
        const at = (k - 1) * (LARGEST + 1) + magnitude;
        if (magnitude <= LARGEST) counts[at] = (counts[at] ?? 0) + 1;
      }
      k += 1;
    }
    return this.padded > 32 ? -1 : found;
  }

  private symbol(table: Uint16Array): number {
    this.fill();
    const entry = table[(this.bits >>> (this.have - 16)) & 0xffff] ?? 0;
    if (entry === 0) return -1;
    this.have -= entry >> 8;
    return entry & 255;
  }

  private take(count: number): number {
    this.fill();
    this.have -= count;
    return (this.bits >>> this.have) & ((1 << count) - 1);
  }

  private skip(count: number): void {
    this.fill();
    this.have -= count;
  }

  /** At least 16 bits. */
  private fill(): void {
    while (this.have < 16) {
      let next = this.bytes[this.at] ?? 0xff;
      const isMarker = next === 0xff && this.bytes[this.at + 1] !== 0;
      if (isMarker) {
        next = 0xff;
        this.padded += 8;
      } else {
        this.at += next === 0xff ? 2 : 1;
      }
      this.bits = (this.bits << 8) | next;
      this.have += 8;
    }
  }
}
