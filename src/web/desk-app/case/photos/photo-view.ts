/** How a picture lies in its pane: enlarged `k` times, its top left corner at `x`, `y` in parts of the pane, turned by quarters to the right. */
export interface PhotoView {
  readonly k: number;
  readonly x: number;
  readonly y: number;
  readonly turn: Turn;
  readonly light: Light;
}

export type Turn = 0 | 1 | 2 | 3;
/** As taken, brighter, brightest. */
export type Light = 0 | 1 | 2;

/** A place in parts of a width and a height. */
export interface Place {
  readonly x: number;
  readonly y: number;
}

/** A region in parts of the upright photo. */
export interface Box extends Place {
  readonly w: number;
  readonly h: number;
}

export const WHOLE: PhotoView = { k: 1, x: 0, y: 0, turn: 0, light: 0 };
const CLOSEST = 12;
/** No region is smaller than a hundredth of the photo on a side. */
const LEAST = 0.01;

/** Enlarges about a place of the pane, so that what lies under the hand stays under it. */
export function zoomed(view: PhotoView, factor: number, at: Place = { x: 0.5, y: 0.5 }): PhotoView {
  const k = clamp(view.k * factor, 1, CLOSEST);
  const grown = k / view.k;
  return within({ ...view, k, x: at.x - (at.x - view.x) * grown, y: at.y - (at.y - view.y) * grown });
}

/** Moves the picture by parts of the pane; it never leaves the pane empty. */
export function moved(view: PhotoView, by: Place): PhotoView {
  return within({ ...view, x: view.x + by.x, y: view.y + by.y });
}

/** A quarter to the right. */
export function turned(view: PhotoView): PhotoView {
  return { ...view, turn: ((view.turn + 1) % 4) as Turn };
}

/** One step brighter, and from the brightest back. */
export function lit(view: PhotoView): PhotoView {
  return { ...view, light: ((view.light + 1) % 3) as Light };
}

/** Where a place of the picture as it is shown lies in the upright photo. */
export function unturned(turn: Turn, { x, y }: Place): Place {
  if (turn === 1) return { x: y, y: 1 - x };
  if (turn === 2) return { x: 1 - x, y: 1 - y };
  if (turn === 3) return { x: 1 - y, y: x };
  return { x, y };
}

/** What a step on the screen is in the upright photo. */
export function stepIn(turn: Turn, { x, y }: Place): Place {
  if (turn === 1) return { x: y, y: -x };
  if (turn === 2) return { x: -x, y: -y };
  if (turn === 3) return { x: -y, y: x };
  return { x, y };
}

/** The region between two corners, cut to the photo. */
export function boxBetween(a: Place, b: Place): Box {
  const [left, right] = ordered(clamp(a.x, 0, 1), clamp(b.x, 0, 1));
  const [top, bottom] = ordered(clamp(a.y, 0, 1), clamp(b.y, 0, 1));
  return fitted({ x: left, y: top, w: right - left, h: bottom - top });
}

/** The region moved, all of it inside the photo. */
export function boxMoved(box: Box, by: Place): Box {
  return fitted({ ...box, x: box.x + by.x, y: box.y + by.y });
}

/** The region grown about its top left corner. */
export function boxSized(box: Box, by: Place): Box {
  return fitted({ ...box, w: Math.min(box.w + by.x, 1 - box.x), h: Math.min(box.h + by.y, 1 - box.y) });
}

/** The region as a fragment of the picture (W3C Media Fragments URI 1.0, section 4.2.2). */
export function fragmentOf({ x, y, w, h }: Box): string {
  const percent = (part: number) => String(Math.round(part * 10_000) / 100);
  return `xywh=percent:${[x, y, w, h].map(percent).join(',')}`;
}

function fitted({ x, y, w, h }: Box): Box {
  const [width, height] = [clamp(w, LEAST, 1), clamp(h, LEAST, 1)];
  return { x: clamp(x, 0, 1 - width), y: clamp(y, 0, 1 - height), w: width, h: height };
}

function within(view: PhotoView): PhotoView {
  return { ...view, x: clamp(view.x, 1 - view.k, 0), y: clamp(view.y, 1 - view.k, 0) };
}

function clamp(value: number, least: number, most: number): number {
  return Math.min(most, Math.max(least, value));
}

function ordered(a: number, b: number): readonly [number, number] {
  return a < b ? [a, b] : [b, a];
}
