import type { GreyPicture } from './sharpness.js';

/** A bar is black but for the noise of its compression. */
const BLACK = 24;
/** Share of a line that may be brighter. */
const BRIGHT_SHARE = 0.02;

/** The picture without the black bars on its sides; all of it when it is black altogether. */
export function withoutBars(picture: GreyPicture): GreyPicture {
  const { pixels, width, height } = picture;
  const rows = lit(height, width, (line, at) => pixels[line * width + at] ?? 0);
  const columns = lit(width, height, (line, at) => pixels[at * width + line] ?? 0);
  if (!rows || !columns) return picture;
  const [across, down] = [columns.to - columns.from, rows.to - rows.from];
  const kept = new Uint8Array(across * down);
  for (let row = 0; row < down; row += 1) {
    const from = (rows.from + row) * width + columns.from;
    kept.set(pixels.subarray(from, from + across), row * across);
  }
  return { pixels: kept, width: across, height: down };
}

function lit(
  lines: number,
  length: number,
  level: (line: number, at: number) => number,
): { readonly from: number; readonly to: number } | undefined {
  const isLit = (line: number) => {
    let bright = 0;
    for (let at = 0; at < length; at += 1) if (level(line, at) > BLACK) bright += 1;
    return bright > BRIGHT_SHARE * length;
  };
  let from = 0;
  while (from < lines && !isLit(from)) from += 1;
  let to = lines;
  while (to > from && !isLit(to - 1)) to -= 1;
  return from === to ? undefined : { from, to };
}
