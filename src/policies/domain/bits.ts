/** A set of small whole numbers, 32 to a word: bit `i` is bit `i % 32` of word `floor(i / 32)`. */
export type Bits = Int32Array;

/** An empty set with room for the numbers below `size`. */
export function emptyBits(size: number): Bits {
  return new Int32Array((size + 31) >>> 5);
}

/** The set of all numbers below `size`. */
export function fullBits(size: number): Bits {
  const bits = emptyBits(size).fill(-1);
  const rest = size & 31;
  if (rest !== 0) bits[bits.length - 1] = (1 << rest) - 1;
  return bits;
}

export function hasBit(bits: Bits, at: number): boolean {
  return (bits[at >>> 5]! & (1 << (at & 31))) !== 0;
}

export function setBit(bits: Bits, at: number): void {
  bits[at >>> 5]! |= 1 << (at & 31);
}

/** The numbers of a set, rising. */
export function bitIndices(bits: Bits): number[] {
  const found: number[] = [];
  for (let word = 0; word < bits.length; word += 1) {
    for (let rest = bits[word]!; rest !== 0; rest &= rest - 1) found.push(word * 32 + lowestBit(rest));
  }
  return found;
}

/** Place of the lowest bit of a word that is not 0. */
export function lowestBit(word: number): number {
  return 31 - Math.clz32(word & -word);
}

export function isEmptyBits(bits: Bits): boolean {
  return bits.every((word) => word === 0);
}
