import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seeded } from './features-description.js';
import { FingerprintIndex, type Neighbour } from './fingerprint-index.js';
import { FINGERPRINT_BYTES, scanOver } from './fingerprint-scan.js';

const draw = seeded(77);
const some = (): Uint8Array => Uint8Array.from({ length: FINGERPRINT_BYTES }, () => Math.floor(draw() * 256));
const flipped = (print: Uint8Array, bits: number): Uint8Array => {
  const copy = Uint8Array.from(print);
  for (let bit = 0; bit < bits; bit += 1) copy[bit >> 3] = (copy[bit >> 3] ?? 0) ^ (1 << (bit & 7));
  return copy;
};
const ONES = Array.from({ length: 256 }, (_each, byte) => byte.toString(2).replaceAll('0', '').length);
/** The plain way, byte by byte. */
const apart = (one: Uint8Array, other: Uint8Array): number =>
  one.reduce((sum, byte, at) => sum + (ONES[byte ^ (other[at] ?? 0)] ?? 0), 0);
const oneByOne = (all: readonly Uint8Array[], queries: readonly Uint8Array[], limit: number): Neighbour[] =>
  all
    .map((print, at) => {
      const distances = queries.map((query) => apart(print, query));
      const distance = Math.min(...distances);
      return { no: at + 1, distance, query: distances.indexOf(distance) };
    })
    .filter(({ distance }) => distance <= limit)
    .sort((a, b) => a.distance - b.distance || a.no - b.no);
const filled = (tenant: string, all: readonly Uint8Array[], into = new FingerprintIndex()): FingerprintIndex => {
  into.add(
    tenant,
    all.map((_print, at) => at + 1),
    Buffer.concat(all),
  );
  return into;
};

describe('the index of fingerprints', () => {
  it('finds what comparing one by one finds, for any number of questions and any limit', () => {
    const all = Array.from({ length: 200 }, some);
    const index = filled('t', all);
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 16 }), fc.integer({ min: 0, max: 256 }), (count, limit) => {
        const queries = Array.from({ length: count }, (_each, n) => flipped(all[n * 7] ?? some(), n * 5));
        expect(index.search('t', queries, limit, 1000)).toEqual(oneByOne(all, queries, limit));
      }),
      { numRuns: 40 },
    );
  });

  it('finds to the bit, across the borders of its blocks', () => {
    const all = Array.from({ length: 9000 }, some);
    const index = filled('t', all);
    for (const at of [0, 4095, 4096, 8191, 8192, 8999]) {
      const query = flipped(all[at] ?? some(), 31);
      expect(index.search('t', [query], 31, 10)).toEqual([{ no: at + 1, distance: 31, query: 0 }]);
      expect(index.search('t', [query], 30, 10)).toEqual([]);
    }
    expect(index.size.fingerprints).toBe(9000);
  });

  it('never mixes tenants, even when they are filled by turns', () => {
    const index = new FingerprintIndex();
    const print = some();
    for (let no = 1; no <= 5000; no += 1) index.add(no % 2 === 0 ? 'even' : 'odd', [no], no === 4001 ? print : some());
    expect(index.search('odd', [print], 0, 10)).toEqual([{ no: 4001, distance: 0, query: 0 }]);
    expect(index.search('even', [print], 60, 10)).toEqual([]);
    expect(index.search('nobody', [print], 256, 10)).toEqual([]);
  });

  it('passes over what it has already', () => {
    const index = filled('t', [some(), some()]);
    index.add('t', [2, 3], Buffer.concat([some(), some()]));
    expect(index.lastOf('t')).toBe(3);
    expect(index.size.fingerprints).toBe(3);
  });

  it('keeps the nearest when there are too many', () => {
    const print = some();
    const all = Array.from({ length: 50 }, (_each, n) => flipped(print, 50 - n));
    expect(
      filled('t', all)
        .search('t', [print], 60, 3)
        .map(({ no }) => no),
    ).toEqual([50, 49, 48]);
  });

  it('refuses what does not fit', () => {
    const index = new FingerprintIndex();
    expect(() => index.add('t', [1], new Uint8Array(31))).toThrow('32 bytes');
    expect(() => index.search('t', Array.from({ length: 17 }, some), 1, 1)).toThrow('at most 16');
    filled('t', [some()], index);
    expect(() => index.search('t', [new Uint8Array(5)], 1, 1)).toThrow('32 bytes');
    const memory = new WebAssembly.Memory({ initial: 1 });
    expect(() => scanOver(memory, 0)).toThrow('1 to 16');
  });
});
