import { render } from 'preact-render-to-string';
import { describe, expect, it } from 'vitest';
import { Pair } from './photo-pair.js';

const photo = (id: string, numbers: readonly string[]) => ({
  id,
  visitId: 'v',
  inspectionId: 'i',
  item: 'carton',
  shows: 'wide',
  receivedAt: '2026-03-02T10:00:00.000Z',
  withdrawn: false,
  claims: numbers.map((number) => ({ id: `claim-${number}`, number })),
});

const pair = {
  id: 'p',
  foundAt: '2026-03-02T11:00:00.000Z',
  band: 'probable',
  foundBy: 'fingerprint',
  distance: 44,
  turn: 'turned by 180°',
  sameShot: false,
  later: photo('new', []),
  earlier: photo('old', ['482177305']),
  opinions: [],
} as const;

describe('a pair on the page of a case', () => {
  it('shows both photos, the other claim, what was measured and how often that is wrong', () => {
    const html = render(<Pair pair={pair} own="new" />);
    expect(html.match(/renditions\/256/g)).toHaveLength(2);
    expect(html.indexOf('/v1/photos/new/')).toBeLessThan(html.indexOf('/v1/photos/old/'));
    expect(html).toContain('A photo of claim 482177305: 44 of 256 bits differ, turned by 180°.');
    expect(html).toMatch(/wrong in 0 of 1,021,731 pairs of different photos/);
  });

  it('says no more than is known', () => {
    const seen = { ...pair, band: 'check', foundBy: 'local features', matches: 40, inliers: 31 } as const;
    const { distance: _bits, turn: _turn, ...details } = seen;
    const html = render(<Pair pair={details} own="old" />);
    expect(html).toContain('A photo of another visit, without a claim: 31 of 40 details in the same places.');
    expect(html).not.toMatch(/fraud|cheat|false claim/i);
  });

  it('gives the last opinion with its words', () => {
    const given = { givenAt: '2026-03-02T12:00:00.000Z', givenBy: { kind: 'person', id: 'x', name: 'Ada Merrow' } };
    const opinions = [
      { opinion: 'same thing', words: 'At first sight.', ...given },
      { opinion: 'different thing', words: 'Another base.', ...given },
    ] as const;
    const html = render(<Pair pair={{ ...pair, opinions }} own="new" />);
    expect(html).toContain('Ada Merrow: different thing. “Another base.”');
    expect(html).not.toContain('At first sight');
  });
});
