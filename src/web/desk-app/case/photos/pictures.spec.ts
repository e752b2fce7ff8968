import { describe, expect, it } from 'vitest';
import { pairsOf } from './pictures.js';

const photo = (item: string, demand: string, earlier?: string) => ({ item, demand, earlier });

describe('pairs of photos', () => {
  it('puts the photos of one check side by side, and what is left over together', () => {
    const photos = [photo('leg', 'wide'), photo('carton', 'label'), photo('leg', 'close'), photo('motor', 'plug')];
    expect(pairsOf(photos)).toEqual([
      [0, 2],
      [1, 3],
    ]);
  });

  it('shows every own photo at least once, one by itself where their number is odd', () => {
    const photos = ['a', 'a', 'a', 'b', 'c', 'c'].map((item) => photo(item, 'wide'));
    const shown = pairsOf(photos)
      .flat()
      .filter((each) => each !== undefined);
    expect(shown.toSorted((a, b) => a - b)).toEqual([0, 1, 2, 3, 4, 5]);
    expect(pairsOf([photo('a', 'wide')])).toEqual([[0, undefined]]);
  });

  it('puts a photo beside the same view of an earlier claim', () => {
    const photos = [photo('leg', 'wide'), photo('leg', 'close'), photo('leg', 'close', '482177305')];
    expect(pairsOf(photos)).toEqual([
      [0, 1],
      [1, 2],
    ]);
  });
});
