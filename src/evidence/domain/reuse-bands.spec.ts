import { describe, expect, it } from 'vitest';
import { reuseBand, reuseRate } from './reuse-bands.js';

const agreeing = { matches: 40, inliers: 30 };
const scattered = { matches: 100, inliers: 30 };
const few = { matches: 14, inliers: 14 };

describe('how alike two photos are', () => {
  it.each([
    [{ distance: 0 }, 'same picture'],
    [{ distance: 31 }, 'same picture'],
    [{ distance: 32 }, 'probable'],
    [{ distance: 60 }, 'probable'],
    [{ distance: 61 }, undefined],
    [{ distance: 70 }, undefined],
    [{ distance: 70, features: agreeing }, 'check'],
    [{ distance: 70, sameShot: true }, 'check'],
    [{ distance: 71, sameShot: true }, undefined],
    [{ features: agreeing }, 'check'],
    [{ features: scattered }, undefined],
    [{ features: few }, undefined],
    [{ sameBytes: true }, 'same picture'],
    [{ sameShot: true }, undefined],
    [{}, undefined],
  ])('%j: %s', (known, band) => {
    expect(reuseBand({ sameBytes: false, sameShot: false, ...known })).toBe(band);
  });

  it('each way of finding has the rate that was measured for it', () => {
    expect(reuseRate('same bytes')).toBeUndefined();
    expect(reuseRate('picture inside')).toEqual(reuseRate('fingerprint'));
    expect(reuseRate('local features')?.of).toBe(4950);
  });
});
