import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { MEDIA_FRAGMENTS, regionOf, selectorOf, type MarkSelector } from './mark-region.js';

const SIZE = { width: 4000, height: 3000 };
const fragment = (value: string): MarkSelector => ({ type: 'FragmentSelector', conformsTo: MEDIA_FRAGMENTS, value });
const svg = (points: string, box = 'viewBox="0 0 4000 3000"'): MarkSelector => ({
  type: 'SvgSelector',
  value: `<svg xmlns="http://www.w3.org/2000/svg" ${box}><polygon points="${points}"/></svg>`,
});
const polygon = (selector: MarkSelector) => {
  const outcome = regionOf(selector, SIZE);
  return outcome.ok ? outcome.polygon : outcome.detail;
};

// Forms of the selectors: W3C Web Annotation Data Model 4.2.1 and 4.2.6; xywh: Media Fragments URI 1.0, 4.2.2, whose examples are
// xywh=160,120,320,240, xywh=pixel:160,120,320,240 and xywh=percent:25,25,50,50.
describe('a region', () => {
  it.each([
    ['xywh=percent:25,25,50,50', [0.25, 0.25, 0.75, 0.75]],
    ['xywh=160,120,320,240', [0.04, 0.04, 0.12, 0.12]],
    ['xywh=pixel:160,120,320,240', [0.04, 0.04, 0.12, 0.12]],
    ['xywh=percent:12.345678,0,10,100', [0.12346, 0, 0.22346, 1]],
  ])('from the fragment %s is a polygon of four corners', (value, [left, top, right, bottom]) => {
    expect(polygon(fragment(value))).toEqual([
      [left, top],
      [right, top],
      [right, bottom],
      [left, bottom],
    ]);
  });

  it('from a drawing is in parts of its viewBox, or of the photo where there is none', () => {
    const expected = [
      [0.1, 0.1],
      [0.5, 0.2],
      [0.3, 0.8],
    ];
    expect(polygon(svg('400,300 2000,600 1200,2400'))).toEqual(expected);
    expect(polygon(svg('400 300, 2000 600, 1200 2400', ''))).toEqual(expected);
    expect(polygon(svg('10,10 50,20 30,80', `viewBox='0 0 100 100'`))).toEqual(expected);
  });

  it('drops corners that repeat and one that closes the outline', () => {
    expect(polygon(svg('400,300 400,300 2000,600 1200,2400 400,300'))).toHaveLength(3);
  });

  it('brings back what is a hair over the edge', () => {
    expect(polygon(svg('-3,0 4003,0 4000,3000'))).toEqual([
      [0, 0],
      [1, 0],
      [1, 1],
    ]);
  });

  it.each([
    ['a fragment of time', fragment('t=10,20'), 'xywh='],
    [
      'another kind of fragment',
      { ...fragment('xywh=1,1,50,50'), conformsTo: 'http://tools.ietf.org/rfc/rfc3778' },
      'Only',
    ],
    ['a negative size', fragment('xywh=percent:50,50,-10,-10'), 'xywh='],
    ['over the edge', fragment('xywh=percent:60,60,50,10'), 'outside'],
    ['a rectangle of nothing', fragment('xywh=percent:10,10,0,50'), 'too small'],
    ['less than 1/100,000 of the photo', fragment('xywh=percent:10,10,0.3,0.3'), 'too small'],
    ['two points', svg('1,1 3000,2000'), 'three points'],
    ['half a point', svg('1,1 3000,2000 5'), 'three points'],
    ['a line there and back', svg('0,0 3000,2000 0,0 1500,1000'), 'too small'],
    ['an eight', svg('0,0 2000,2000 2000,0 0,2500'), 'crosses'],
    ['an outline that touches itself', svg('0,0 2000,0 2000,2000 1000,0 0,2000'), 'crosses'],
    ['a spike that folds back', svg('0,0 3000,0 1500,0 1500,2000'), 'crosses'],
    ['another viewBox', svg('1,1 50,1 50,50', 'viewBox="10 10 100 100"'), 'viewBox'],
    ['a path', { type: 'SvgSelector', value: '<svg><path d="M0,0L9,9"/></svg>' }, 'one polygon'],
    ['a script', { type: 'SvgSelector', value: '<svg><script>alert(1)</script></svg>' }, 'one polygon'],
    [
      'an entity',
      { type: 'SvgSelector', value: '<!DOCTYPE svg><svg><polygon points="0,0 9,9 9,0"/></svg>' },
      'one polygon',
    ],
    [
      '201 corners',
      svg(Array.from({ length: 201 }, (_, n) => `${n * 10},${(n * n * 0.05).toFixed(2)}`).join(' ')),
      'At most 200',
    ],
  ] as const)('is refused for %s', (_what, selector, words) => {
    expect(polygon(selector)).toContain(words);
  });

  it('takes no longer than it should on a drawing made to be slow', () => {
    const value = `<svg ${'a="" '.repeat(1900)}><polygon points="0,0 9,9 9,0"`;
    expect(polygon({ type: 'SvgSelector', value })).toContain('one polygon');
  });

  it('comes back from its selector, whatever it is', () => {
    const part = fc.integer({ min: 0, max: 1000 }).map((n) => n / 1000);
    const triangle = fc.tuple(part, part, part, part, part, part);
    fc.assert(
      fc.property(triangle, ([ax, ay, bx, by, cx, cy]) => {
        const made = regionOf(svg(`${ax},${ay} ${bx},${by} ${cx},${cy}`, 'viewBox="0 0 1 1"'), SIZE);
        if (!made.ok) return;
        const again = regionOf(selectorOf(made.polygon, SIZE), SIZE);
        expect(again).toEqual(made);
      }),
    );
  });

  it('is written as a fragment where it is an upright rectangle', () => {
    const corners = [
      [0.25, 0.25],
      [0.75, 0.25],
      [0.75, 0.75],
      [0.25, 0.75],
    ] as const;
    expect(selectorOf(corners, SIZE)).toEqual(fragment('xywh=percent:25,25,50,50'));
    expect(selectorOf(corners.toReversed(), SIZE).type).toBe('SvgSelector');
  });
});
