/** A grey picture, one byte a pixel, row by row. */
export interface GreyPicture {
  readonly pixels: Uint8Array;
  readonly width: number;
  readonly height: number;
}

/** Numbers of sharpness. They advise; no photo is refused for them. */
export interface Sharpness {
  /** Variance of the Laplacian over the whole picture. */
  readonly laplacianVariance: number;
  /** 90th percentile, over tiles, of the Laplacian variance less what noise alone would give. */
  readonly detail: number;
  /** 90th percentile, over tiles with some contrast, of Laplacian variance ÷ luma variance; null when no tile has contrast. */
  readonly crispness: number | null;
  /** How little blurring once more would change: 0 for the sharpest, 1 for what is blurred already; motion along one axis is enough. */
  readonly reblur: number;
}

/**
 * Variance of the 4-neighbour Laplacian (kernel 0 1 0 / 1 −4 1 / 0 1 0) over the pixels that have all four neighbours: the
 * sharpness score of Pech-Pacheco et al., ICPR 2000. 0 for pictures under 3 pixels a side.
 */
export function laplacianVariance(picture: GreyPicture): number {
  return spreadOf(tileSums(picture, { x0: 1, y0: 1, x1: picture.width - 1, y1: picture.height - 1 })).laplacian;
}

/** Tiles a side for blur, and for noise, which needs small flat patches. */
const BLUR_TILES = 8;
const NOISE_TILES = 16;
/** Below this luma variance a tile is plain wall or carton and says nothing about focus. */
const CONTRAST_VARIANCE = 60;
/** White noise of variance s² gives the Laplacian a variance of (1 + 1 + 1 + 1 + 16) s². */
const NOISE_GAIN = 20;

/** Sharpness of an upright grey picture of at most 1024 pixels a side; scores of other sizes do not compare. */
export function sharpnessOf(picture: GreyPicture): Sharpness {
  const sums = tilesOf(picture, BLUR_TILES).map((tile) => tileSums(picture, tile));
  const tiles = sums.map(spreadOf);
  const noise = percentile(
    tilesOf(picture, NOISE_TILES).map((tile) => noiseSigma(picture, tile)),
    0.2,
  );
  const ratios = tiles.filter(({ luma }) => luma > CONTRAST_VARIANCE).map(({ laplacian, luma }) => laplacian / luma);
  const blurVariance = percentile(
    tiles.map(({ laplacian }) => laplacian),
    0.9,
  );
  return {
    // The tiles cover every pixel that has four neighbours once.
    laplacianVariance: spreadOf(sums.reduce(together, NO_SUMS)).laplacian,
    detail: Math.max(0, blurVariance - NOISE_GAIN * noise * noise),
    crispness: ratios.length === 0 ? null : percentile(ratios, 0.9),
    reblur: reblurOf(picture),
  };
}

/** Half-open rectangle whose pixels all have four neighbours. */
interface Tile {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

function tilesOf({ width, height }: GreyPicture, perSide: number): Tile[] {
  const tiles: Tile[] = [];
  const cut = (length: number, part: number) => 1 + Math.floor(((length - 2) * part) / perSide);
  for (let row = 0; row < perSide; row += 1) {
    for (let column = 0; column < perSide; column += 1) {
      const tile = {
        x0: cut(width, column),
        x1: cut(width, column + 1),
        y0: cut(height, row),
        y1: cut(height, row + 1),
      };
      if (tile.x1 > tile.x0 && tile.y1 > tile.y0) tiles.push(tile);
    }
  }
  return tiles;
}

interface Sums {
  readonly count: number;
  readonly sum: number;
  readonly squares: number;
  readonly lumaSum: number;
  readonly lumaSquares: number;
}

function tileSums({ pixels, width }: GreyPicture, { x0, y0, x1, y1 }: Tile): Sums {
  let sum = 0;
  let squares = 0;
  let lumaSum = 0;
  let lumaSquares = 0;
  for (let y = y0; y < y1; y += 1) {
    for (let i = y * width + x0; i < y * width + x1; i += 1) {
      const here = pixels[i] ?? 0;
      const beside = (pixels[i - 1] ?? 0) + (pixels[i + 1] ?? 0);
      const response = beside + (pixels[i - width] ?? 0) + (pixels[i + width] ?? 0) - 4 * here;
      sum += response;
      squares += response * response;
      lumaSum += here;
      lumaSquares += here * here;
    }
  }
  return { count: Math.max(0, x1 - x0) * Math.max(0, y1 - y0), sum, squares, lumaSum, lumaSquares };
}

const NO_SUMS: Sums = { count: 0, sum: 0, squares: 0, lumaSum: 0, lumaSquares: 0 };

function together(a: Sums, b: Sums): Sums {
  return {
    count: a.count + b.count,
    sum: a.sum + b.sum,
    squares: a.squares + b.squares,
    lumaSum: a.lumaSum + b.lumaSum,
    lumaSquares: a.lumaSquares + b.lumaSquares,
  };
}

function spreadOf({ count, sum, squares, lumaSum, lumaSquares }: Sums): { laplacian: number; luma: number } {
  if (count === 0) return { laplacian: 0, luma: 0 };
  return { laplacian: squares / count - (sum / count) ** 2, luma: lumaSquares / count - (lumaSum / count) ** 2 };
}

/** Immerkær's noise estimate (CVIU 64(2), 1996): mean absolute response to the outer product of (1 −2 1) with itself. */
function noiseSigma({ pixels, width }: GreyPicture, { x0, y0, x1, y1 }: Tile): number {
  let sum = 0;
  for (let y = y0; y < y1; y += 1) {
    for (let i = y * width + x0; i < y * width + x1; i += 1) {
      const up = i - width;
      const down = i + width;
      const corners = (pixels[up - 1] ?? 0) + (pixels[up + 1] ?? 0) + (pixels[down - 1] ?? 0) + (pixels[down + 1] ?? 0);
      const edges = (pixels[up] ?? 0) + (pixels[down] ?? 0) + (pixels[i - 1] ?? 0) + (pixels[i + 1] ?? 0);
      sum += Math.abs(corners - 2 * edges + 4 * (pixels[i] ?? 0));
    }
  }
  return (Math.sqrt(Math.PI / 2) * sum) / (6 * (x1 - x0) * (y1 - y0));
}

/** Taps of the box that blurs once more. */
const REBLUR_TAPS = 9;

/**
 * The blur metric of Crete, Dolmiere, Ladret and Nicolas (Human Vision and Electronic Imaging XII, SPIE 6492, 2007): along each axis
 * the share of the variation between neighbours that a further blur with a box leaves; the worse axis counts. 1 for a picture
 * without any variation, which nothing can blur further.
 */
export function reblurOf({ pixels, width, height }: GreyPicture): number {
  const half = (REBLUR_TAPS - 1) / 2;
  // Only where the whole box fits, so that no border is made up; the box before it begins one pixel earlier.
  const across = leftByReblur(pixels, width, { x0: half + 1, y0: 0, x1: width - half, y1: height }, 1);
  const down = leftByReblur(pixels, width, { x0: 0, y0: half + 1, x1: width, y1: height - half }, width);
  return Math.max(across, down);
}

/** @param step from a pixel to its neighbour along the axis */
function leftByReblur(pixels: Uint8Array, width: number, { x0, y0, x1, y1 }: Tile, step: number): number {
  const half = (REBLUR_TAPS - 1) / 2;
  const [ahead, behind] = [half * step, (half + 1) * step];
  let variation = 0;
  let removed = 0;
  for (let y = y0; y < y1; y += 1) {
    for (let at = y * width + x0; at < y * width + x1; at += 1) {
      const sharp = Math.abs((pixels[at] ?? 0) - (pixels[at - step] ?? 0));
      // Two neighbouring boxes differ by the pixel that enters and the one that leaves.
      const blurred = Math.abs((pixels[at + ahead] ?? 0) - (pixels[at - behind] ?? 0)) / REBLUR_TAPS;
      variation += sharp;
      if (sharp > blurred) removed += sharp - blurred;
    }
  }
  return variation === 0 ? 1 : (variation - removed) / variation;
}

/** Nearest-rank percentile; 0 for an empty list. @param share 0 to 1 */
export function percentile(values: readonly number[], share: number): number {
  const sorted = Float64Array.from(values).sort();
  return sorted[Math.max(0, Math.ceil(share * sorted.length) - 1)] ?? 0;
}
