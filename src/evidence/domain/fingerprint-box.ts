import type { GreyPicture } from './sharpness.js';

/** A part of a picture in pixels: left and top inside, right and bottom just outside. */
export interface PixelBox {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** Shares of the picture between which a content box is worth a fingerprint of its own: below is a detail, above is the picture itself. */
export const BOX_SHARES = { least: 0.12, most: 0.95 } as const;

/** A row belongs to the content when more than this share of its pixels differs from its commonest grey. */
const BUSY_ROW = 0.3;
const BUSY_COLUMN = 0.2;
/** Quiet lines that a run may hold inside, as a share of the side. */
const GAP = 0.02;

/**
 * Where the picture inside a picture lies: what remains of a screenshot or a bordered copy without its frame. Rows count whose pixels
 * are mostly not of one grey; of these the longest run, and then the same for columns within it. Meant for about 768 pixels.
 * @returns undefined when there is none, or when it covers too little or nearly all of the picture
 */
export function contentBox(picture: GreyPicture): PixelBox | undefined {
  const { width, height } = picture;
  const rows = longestRun(height, BUSY_ROW, (y) => busyShare(picture, { start: y * width, step: 1, length: width }));
  if (!rows) return undefined;
  const columns = longestRun(width, BUSY_COLUMN, (x) =>
    busyShare(picture, { start: rows.from * width + x, step: width, length: rows.to - rows.from }),
  );
  if (!columns) return undefined;
  const share = ((rows.to - rows.from) * (columns.to - columns.from)) / (width * height);
  if (share < BOX_SHARES.least || share > BOX_SHARES.most) return undefined;
  return { left: columns.from, top: rows.from, right: columns.to, bottom: rows.to };
}

interface Run {
  readonly from: number;
  readonly to: number;
}

/** The longest stretch of lines above the limit, quiet gaps of up to 2 % of the side included. */
function longestRun(length: number, limit: number, share: (line: number) => number): Run | undefined {
  const gap = Math.round(length * GAP);
  let best: Run | undefined;
  let from: number | undefined;
  let lastBusy = 0;
  for (let line = 0; line < length; line += 1) {
    if (share(line) <= limit) continue;
    if (from === undefined || line - lastBusy - 1 > gap) from = line;
    lastBusy = line;
    if (!best || line + 1 - from > best.to - best.from) best = { from, to: line + 1 };
  }
  return best;
}

interface Line {
  readonly start: number;
  readonly step: number;
  readonly length: number;
}

/** Share of a line's pixels outside its commonest grey, of 32 greys, and that grey's two neighbours. */
function busyShare({ pixels }: GreyPicture, { start, step, length }: Line): number {
  const counts = new Uint32Array(32);
  for (let n = 0; n < length; n += 1) {
    const bin = (pixels[start + n * step] ?? 0) >> 3;
    counts[bin] = (counts[bin] ?? 0) + 1;
  }
  const commonest = counts.indexOf(Math.max(...counts));
  const near = (counts[commonest - 1] ?? 0) + (counts[commonest] ?? 0) + (counts[commonest + 1] ?? 0);
  return 1 - near / length;
}
