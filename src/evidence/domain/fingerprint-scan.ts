/** Bytes of one fingerprint in memory. */
export const FINGERPRINT_BYTES = 32;

/** Fixed places in the memory that the scan works on: the fingerprints asked for, and the list of finds. */
export const SCAN_LAYOUT = { queriesAt: 0, findsAt: 1024 } as const;
/** As many as fit before the finds. */
export const MOST_QUERIES = 16;

/**
 * Goes through fingerprints from one address up to another and lists, from `findsAt`, the address of each that lies within the limit of
 * any of the fingerprints asked for. @returns the number of finds, which never exceeds the number of fingerprints gone through
 */
export type Scan = (from: number, to: number, limit: number) => number;

const compiled = new Map<number, WebAssembly.Module>();

/**
 * A scan for a fixed number of fingerprints at once, all in one pass over the memory. It counts differing bits by the processor's own
 * instruction, which JavaScript has no word for; this is why it is assembled here, instruction by instruction.
 * @param queries 1 to 16
 */
export function scanOver(memory: WebAssembly.Memory, queries: number): Scan {
  if (!Number.isInteger(queries) || queries < 1 || queries > MOST_QUERIES) {
    throw new RangeError(`a scan is for 1 to ${MOST_QUERIES} fingerprints, not ${queries}`);
  }
  const module = compiled.get(queries) ?? new WebAssembly.Module(scanCode(queries));
  compiled.set(queries, module);
  return new WebAssembly.Instance(module, { in: { memory } }).exports['scan'] as Scan;
}

// The binary format and its numbers: WebAssembly Core Specification 2.0, chapter 5.
const I32 = 0x7f;
const I64 = 0x7e;
const OP = {
  block: 0x02,
  loop: 0x03,
  if: 0x04,
  end: 0x0b,
  br: 0x0c,
  brIf: 0x0d,
  select: 0x1b,
  get: 0x20,
  set: 0x21,
  tee: 0x22,
  i64Load: 0x29,
  i32Store: 0x36,
  i32Const: 0x41,
  i64Const: 0x42,
  i32GreaterEqual: 0x4f,
  i64Less: 0x54,
  i64LessEqual: 0x58,
  i32Add: 0x6a,
  i32Subtract: 0x6b,
  i32ShiftRight: 0x76,
  popcnt: 0x7b,
  i64Add: 0x7c,
  xor: 0x85,
  i64ExtendI32: 0xad,
} as const;
const NO_RESULT = 0x40;
const ALIGN_8 = 3;
const ALIGN_4 = 2;

/** Numbers of the local variables; those of the queries follow, four words each. */
const LOCAL = { from: 0, to: 1, limit: 2, find: 3, word: 4, best: 8, distance: 9, queries: 10 } as const;

function scanCode(queries: number): Uint8Array<ArrayBuffer> {
  const type = [1, 0x60, 3, I32, I32, I32, 1, I32];
  const imported = [1, ...name('in'), ...name('memory'), 2, 0, 1];
  const exported = [1, ...name('scan'), 0, 0];
  const body = [2, 1, I32, ...unsigned(6 + queries * 4), I64, ...instructions(queries), OP.end];
  const code = [1, ...unsigned(body.length), ...body];
  return Uint8Array.from(
    [
      [0x00, 0x61, 0x73, 0x6d, 1, 0, 0, 0],
      section(1, type),
      section(2, imported),
      section(3, [1, 0]),
      section(7, exported),
      section(10, code),
    ].flat(),
  );
}

function instructions(queries: number): number[] {
  return [
    [OP.i32Const, ...signed(SCAN_LAYOUT.findsAt), OP.set, LOCAL.find],
    keepQueries(queries),
    [OP.block, NO_RESULT, OP.loop, NO_RESULT],
    [OP.get, LOCAL.from, OP.get, LOCAL.to, OP.i32GreaterEqual, OP.brIf, 1],
    [0, 1, 2, 3].flatMap((word) => [...load(word), OP.set, LOCAL.word + word]),
    [OP.i64Const, ...signed(256), OP.set, LOCAL.best],
    Array.from({ length: queries }, (_each, query) => keepSmaller(query)).flat(),
    [OP.get, LOCAL.best, OP.get, LOCAL.limit, OP.i64ExtendI32, OP.i64LessEqual],
    [OP.if, NO_RESULT, ...noteFind(), OP.end],
    [OP.get, LOCAL.from, OP.i32Const, ...signed(FINGERPRINT_BYTES), OP.i32Add, OP.set, LOCAL.from],
    [OP.br, 0, OP.end, OP.end],
    [OP.get, LOCAL.find, OP.i32Const, ...signed(SCAN_LAYOUT.findsAt), OP.i32Subtract],
    [OP.i32Const, 2, OP.i32ShiftRight],
  ].flat();
}

function keepQueries(queries: number): number[] {
  return Array.from({ length: queries * 4 }, (_each, word) =>
    [
      [OP.i32Const, ...signed(SCAN_LAYOUT.queriesAt), OP.i64Load, ALIGN_8, ...unsigned(word * 8)],
      [OP.set, ...unsigned(LOCAL.queries + word)],
    ].flat(),
  ).flat();
}

function load(word: number): number[] {
  return [OP.get, LOCAL.from, OP.i64Load, ALIGN_8, ...unsigned(word * 8)];
}

/** best = min(best, bits in which the fingerprint differs from one query) */
function keepSmaller(query: number): number[] {
  const words = [0, 1, 2, 3].flatMap((word) => {
    const bits = [OP.get, LOCAL.word + word, OP.get, ...unsigned(LOCAL.queries + query * 4 + word), OP.xor, OP.popcnt];
    return word === 0 ? bits : [...bits, OP.i64Add];
  });
  return [
    words,
    [OP.tee, LOCAL.distance, OP.get, LOCAL.best],
    [OP.get, LOCAL.distance, OP.get, LOCAL.best, OP.i64Less, OP.select, OP.set, LOCAL.best],
  ].flat();
}

function noteFind(): number[] {
  return [
    [OP.get, LOCAL.find, OP.get, LOCAL.from, OP.i32Store, ALIGN_4, 0],
    [OP.get, LOCAL.find, OP.i32Const, 4, OP.i32Add, OP.set, LOCAL.find],
  ].flat();
}

function section(id: number, content: readonly number[]): number[] {
  return [id, ...unsigned(content.length), ...content];
}

function name(text: string): number[] {
  return [text.length, ...new TextEncoder().encode(text)];
}

/** LEB128, section 5.2.2. */
function unsigned(value: number): number[] {
  const bytes: number[] = [];
  let rest = value;
  do {
    const more = rest >= 0x80;
    bytes.push((rest & 0x7f) | (more ? 0x80 : 0));
    rest >>>= 7;
  } while (rest > 0);
  return bytes;
}

function signed(value: number): number[] {
  const bytes: number[] = [];
  let rest = value;
  for (;;) {
    const low = rest & 0x7f;
    rest >>= 7;
    const done = (rest === 0 && (low & 0x40) === 0) || (rest === -1 && (low & 0x40) !== 0);
    bytes.push(done ? low : low | 0x80);
    if (done) return bytes;
  }
}
