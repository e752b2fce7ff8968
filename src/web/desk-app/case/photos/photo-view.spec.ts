import { describe, expect, it } from 'vitest';
import {
  boxBetween,
  boxMoved,
  boxSized,
  fragmentOf,
  moved,
  stepIn,
  turned,
  unturned,
  WHOLE,
  zoomed,
  type Turn,
} from './photo-view.js';

describe('a picture in its pane', () => {
  it('grows about the place under the hand', () => {
    const at = { x: 0.25, y: 0.75 };
    const view = zoomed(zoomed(WHOLE, 2, at), 1.5, at);
    // A point p of the picture is drawn at x + p k; the one under the hand was at p = at.
    expect(view.x + at.x * view.k).toBeCloseTo(at.x, 12);
    expect(view.y + at.y * view.k).toBeCloseTo(at.y, 12);
  });

  it('never leaves its pane empty and never gets smaller than whole', () => {
    expect(moved(WHOLE, { x: 0.4, y: -0.4 })).toEqual(WHOLE);
    const close = moved(zoomed(WHOLE, 4), { x: -9, y: 9 });
    expect([close.x, close.y]).toEqual([-3, 0]);
    expect(zoomed(close, 0.01)).toEqual(WHOLE);
  });

  it('is upright again after four quarters', () => {
    expect(turned(turned(turned(turned(WHOLE))))).toEqual(WHOLE);
  });
});

describe('a place in a turned picture', () => {
  // The matrix of a quarter to the right, about the middle, in axes that point right and down: (u, v) is drawn at (1 - v, u).
  const drawn = (turn: Turn, place: { x: number; y: number }) => {
    let [x, y] = [place.x - 0.5, place.y - 0.5];
    for (let quarter = 0; quarter < turn; quarter += 1) [x, y] = [-y, x];
    return { x: x + 0.5, y: y + 0.5 };
  };

  it.each([0, 1, 2, 3] as const)('is found again after %i quarters', (turn) => {
    const place = { x: 0.2, y: 0.7 };
    const found = unturned(turn, drawn(turn, place));
    expect(found.x).toBeCloseTo(place.x, 12);
    expect(found.y).toBeCloseTo(place.y, 12);
  });

  it.each([0, 1, 2, 3] as const)('moves the way the arrow points after %i quarters', (turn) => {
    const [from, by] = [
      { x: 0.4, y: 0.4 },
      { x: 0.1, y: 0.05 },
    ];
    const step = stepIn(turn, by);
    const [was, is] = [drawn(turn, from), drawn(turn, { x: from.x + step.x, y: from.y + step.y })];
    expect(is.x - was.x).toBeCloseTo(by.x, 12);
    expect(is.y - was.y).toBeCloseTo(by.y, 12);
  });
});

describe('a region', () => {
  it('is the same whichever corner comes first, and stays inside', () => {
    expect(boxBetween({ x: 0.8, y: -1 }, { x: 0.3, y: 0.5 })).toEqual(
      boxBetween({ x: 0.3, y: 0.5 }, { x: 0.8, y: -1 }),
    );
    expect(boxBetween({ x: 0.8, y: -1 }, { x: 0.3, y: 0.5 })).toEqual({ x: 0.3, y: 0, w: 0.5, h: 0.5 });
    expect(boxMoved({ x: 0.5, y: 0.5, w: 0.5, h: 0.5 }, { x: 0.2, y: -0.1 })).toEqual({
      x: 0.5,
      y: 0.4,
      w: 0.5,
      h: 0.5,
    });
    expect(boxSized({ x: 0.5, y: 0.5, w: 0.2, h: 0.2 }, { x: 0.9, y: -0.9 })).toEqual({
      x: 0.5,
      y: 0.5,
      w: 0.5,
      h: 0.01,
    });
  });

  // The worked form of Media Fragments URI 1.0, section 4.2.2: xywh=percent:25,25,50,50.
  it('is written as a media fragment', () => {
    expect(fragmentOf({ x: 0.25, y: 0.25, w: 0.5, h: 0.5 })).toBe('xywh=percent:25,25,50,50');
  });
});
