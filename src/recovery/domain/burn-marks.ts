import type { MarkedRegion } from '../../evidence/evidence.contract.js';

/** RGB pixels row by row, 8 bits a channel. */
export interface RgbPicture {
  readonly pixels: Uint8Array;
  readonly width: number;
  readonly height: number;
}

/** Red beside white stands out on dark and on light furniture, and in a print without colours by the white rim. */
const RED = [200, 16, 32] as const;
const WHITE = [255, 255, 255] as const;

/**
 * Draws the outlines of marked regions into a copy of a photo, in place: a red line with a white rim, a two-hundredth of the longest
 * side wide but at least 3 pixels. What lies inside stays to be seen.
 */
export function burnMarks(picture: RgbPicture, regions: readonly Pick<MarkedRegion, 'polygon'>[]): void {
  const line = Math.max(3, Math.max(picture.width, picture.height) / 200);
  // All rims first: no rim of one region covers the line of another.
  for (const { reach, colour } of [
    { reach: line, colour: WHITE },
    { reach: line / 2, colour: RED },
  ]) {
    for (const { polygon } of regions) {
      polygon.forEach(([x, y], at) => {
        const [endX, endY] = polygon[(at + 1) % polygon.length] ?? [x, y];
        const from = { x: x * (picture.width - 1), y: y * (picture.height - 1) };
        const to = { x: endX * (picture.width - 1), y: endY * (picture.height - 1) };
        drawEdge(picture, { from, to, reach, colour });
      });
    }
  }
}

interface Point {
  readonly x: number;
  readonly y: number;
}

interface Stroke {
  readonly from: Point;
  readonly to: Point;
  /** Half the width in pixels. */
  readonly reach: number;
  readonly colour: readonly [number, number, number];
}

/** Colours every pixel that lies within `reach` of the edge. */
function drawEdge({ pixels, width, height }: RgbPicture, { from, to, reach, colour }: Stroke): void {
  const top = Math.max(0, Math.floor(Math.min(from.y, to.y) - reach));
  const bottom = Math.min(height - 1, Math.ceil(Math.max(from.y, to.y) + reach));
  const left = Math.max(0, Math.floor(Math.min(from.x, to.x) - reach));
  const right = Math.min(width - 1, Math.ceil(Math.max(from.x, to.x) + reach));
  for (let y = top; y <= bottom; y += 1) {
    for (let x = left; x <= right; x += 1) {
      if (squaredDistance({ x, y }, from, to) <= reach * reach) pixels.set(colour, (y * width + x) * 3);
    }
  }
}

function squaredDistance(point: Point, from: Point, to: Point): number {
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  const length = dx * dx + dy * dy;
  const along = length === 0 ? 0 : ((point.x - from.x) * dx + (point.y - from.y) * dy) / length;
  const part = Math.min(1, Math.max(0, along));
  return (point.x - from.x - part * dx) ** 2 + (point.y - from.y - part * dy) ** 2;
}
