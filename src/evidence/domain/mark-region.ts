import type { PixelSize } from './photo-limits.js';

/** A corner of a region: x to the right and y down, each from 0 to 1 of the upright photo, to 1/100,000. */
export type Corner = readonly [x: number, y: number];

/** A selector of the W3C Web Annotation Data Model (23 February 2017), sections 4.2.1 and 4.2.6. */
export interface MarkSelector {
  readonly type: 'FragmentSelector' | 'SvgSelector';
  /** For fragments: http://www.w3.org/TR/media-frags/. */
  readonly conformsTo?: string;
  readonly value: string;
}

export type RegionOutcome =
  { readonly ok: true; readonly polygon: readonly Corner[] } | { readonly ok: false; readonly detail: string };

export const MEDIA_FRAGMENTS = 'http://www.w3.org/TR/media-frags/';

/** How the upright picture that corners refer to is made; a change of it gives a new name. */
export const UPRIGHT_PIPELINE = 'upright/1';

const STEPS = 100_000;
const LEAST_AREA = 1e-5;
export const MOST_CORNERS = 200;
/** A drawing may go over the edge by a hair; it is brought back. */
const OVER_THE_EDGE = 0.001;

/**
 * The polygon that a selector names, in parts of the upright photo. A rectangle is a polygon of four corners.
 * @param size of the upright photo in pixels
 */
export function regionOf(selector: MarkSelector, size: PixelSize): RegionOutcome {
  const drawn =
    selector.type === 'FragmentSelector' ? fragmentCorners(selector, size) : svgCorners(selector.value, size);
  return typeof drawn === 'string' ? { ok: false, detail: drawn } : checked(drawn);
}

/** The selector that names a polygon: a percent fragment for an upright rectangle, else a drawing of one polygon. */
export function selectorOf(polygon: readonly Corner[], { width, height }: PixelSize): MarkSelector {
  const box = rectangleOf(polygon);
  if (box) {
    const percent = box.map((part) => Math.round(part * 1e7) / 1e5).join(',');
    return { type: 'FragmentSelector', conformsTo: MEDIA_FRAGMENTS, value: `xywh=percent:${percent}` };
  }
  const points = polygon.map(([x, y]) => `${hundredth(x * width)},${hundredth(y * height)}`).join(' ');
  const value = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}"><polygon points="${points}"/></svg>`;
  return { type: 'SvgSelector', value };
}

function hundredth(value: number): number {
  return Math.round(value * 100) / 100;
}

function rectangleOf(polygon: readonly Corner[]): readonly [number, number, number, number] | undefined {
  const [a, b, c, d] = polygon;
  if (polygon.length !== 4 || !a || !b || !c || !d) return undefined;
  const upright = a[1] === b[1] && b[0] === c[0] && c[1] === d[1] && d[0] === a[0] && a[0] < b[0] && b[1] < c[1];
  return upright ? [a[0], a[1], b[0] - a[0], c[1] - b[1]] : undefined;
}

const NUMBER = '(\\d{1,6}(?:\\.\\d{1,9})?)';
/** Media Fragments URI 1.0, 4.2.2; decimals are taken for percent as well, because people draw with a finger and not by pixels. */
const XYWH = new RegExp(`^xywh=(?:(pixel|percent):)?${NUMBER},${NUMBER},${NUMBER},${NUMBER}$`);

function fragmentCorners({ conformsTo, value }: MarkSelector, size: PixelSize): Corner[] | string {
  if (conformsTo !== undefined && conformsTo !== MEDIA_FRAGMENTS)
    return `Only fragments by ${MEDIA_FRAGMENTS} are read.`;
  const match = XYWH.exec(value);
  if (!match) return 'Give the rectangle as xywh=percent:x,y,w,h or xywh=pixel:x,y,w,h.';
  const percent = match[1] === 'percent';
  const across = percent ? 100 : size.width;
  const down = percent ? 100 : size.height;
  const [x = 0, y = 0, w = 0, h = 0] = match.slice(2).map(Number);
  const [left, top, right, bottom] = [x / across, y / down, (x + w) / across, (y + h) / down];
  return [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ];
}

/** One polygon and nothing else: no script, style, link or entity is ever looked at. */
const SVG =
  /^\s*<svg((?:\s+[\w:]+\s*=\s*(?:"[^"<>]*"|'[^'<>]*'))*)\s*>\s*<polygon((?:\s+[\w:-]+\s*=\s*(?:"[^"<>]*"|'[^'<>]*'))*)\s*(?:\/>|>\s*<\/polygon>)\s*<\/svg>\s*$/;
const LONGEST_SVG = 10_000;

function svgCorners(value: string, size: PixelSize): Corner[] | string {
  const match = value.length > LONGEST_SVG ? null : SVG.exec(value);
  if (!match) return 'Draw the region as one polygon: <svg viewBox="0 0 W H"><polygon points="x,y x,y x,y"/></svg>.';
  const viewBox = attribute(match[1] ?? '', 'viewBox');
  const box = viewBox === undefined ? [0, 0, size.width, size.height] : numbersIn(viewBox);
  const [left, top, width = 0, height = 0] = box;
  if (box.length !== 4 || left !== 0 || top !== 0 || !(width > 0) || !(height > 0)) {
    return 'The viewBox must be "0 0 W H" and stand for the whole photo.';
  }
  const points = numbersIn(attribute(match[2] ?? '', 'points') ?? '');
  if (points.length < 6 || points.length % 2 === 1 || points.some((part) => !Number.isFinite(part))) {
    return 'The polygon needs at least three points, each as x,y.';
  }
  return Array.from({ length: points.length / 2 }, (_, n) => [
    (points[2 * n] ?? 0) / width,
    (points[2 * n + 1] ?? 0) / height,
  ]);
}

function attribute(text: string, name: string): string | undefined {
  const match = new RegExp(`\\s${name}\\s*=\\s*(?:"([^"]*)"|'([^']*)')`).exec(text);
  return match?.[1] ?? match?.[2];
}

function numbersIn(text: string): number[] {
  return text
    .trim()
    .split(/\s*,\s*|\s+/)
    .map((part) => (/^-?\d{1,7}(?:\.\d{1,9})?$/.test(part) ? Number(part) : Number.NaN));
}

function checked(drawn: readonly Corner[]): RegionOutcome {
  if (drawn.flat().some((part) => part < -OVER_THE_EDGE || part > 1 + OVER_THE_EDGE)) {
    return { ok: false, detail: 'The region lies outside the photo.' };
  }
  const polygon = withoutRepeats(drawn.map(([x, y]): Corner => [inside(x), inside(y)]));
  if (polygon.length > MOST_CORNERS) return { ok: false, detail: `At most ${MOST_CORNERS} corners are taken.` };
  if (polygon.length < 3 || areaOf(polygon) < LEAST_AREA) {
    return { ok: false, detail: 'The region is too small to be seen. Draw it larger.' };
  }
  if (crossesItself(polygon)) return { ok: false, detail: 'The outline crosses itself. Draw it in one turn.' };
  return { ok: true, polygon };
}

function inside(part: number): number {
  return Math.round(Math.min(1, Math.max(0, part)) * STEPS) / STEPS;
}

/** A corner that repeats the one before it, or a last one that closes the outline, says nothing. */
function withoutRepeats(corners: readonly Corner[]): Corner[] {
  return corners.filter(([x, y], at) => {
    const [px, py] = corners[(at + corners.length - 1) % corners.length] ?? [];
    return x !== px || y !== py;
  });
}

/** Shoelace formula. */
function areaOf(polygon: readonly Corner[]): number {
  const twice = polygon.reduce((sum, [x, y], at) => {
    const [nx, ny] = polygon[(at + 1) % polygon.length] ?? [0, 0];
    return sum + x * ny - nx * y;
  }, 0);
  return Math.abs(twice) / 2;
}

/** Whether two edges meet elsewhere than at the corner that they share. */
function crossesItself(polygon: readonly Corner[]): boolean {
  const corner = (at: number): Corner => polygon[at % polygon.length] ?? [0, 0];
  for (let one = 0; one < polygon.length; one += 1) {
    if (foldsBack(corner(one), corner(one + 1), corner(one + 2))) return true;
    for (let other = one + 2; other < polygon.length; other += 1) {
      if (one === 0 && other === polygon.length - 1) continue;
      if (meet([corner(one), corner(one + 1)], [corner(other), corner(other + 1)])) return true;
    }
  }
  return false;
}

/** In whole steps, so that the sign is exact: products of numbers below 10^5 fit. */
function side(a: Corner, b: Corner, c: Corner): number {
  const step = (part: number) => Math.round(part * STEPS);
  return Math.sign(
    (step(b[0]) - step(a[0])) * (step(c[1]) - step(a[1])) - (step(b[1]) - step(a[1])) * (step(c[0]) - step(a[0])),
  );
}

function foldsBack(a: Corner, b: Corner, c: Corner): boolean {
  const ahead = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1]);
  return side(a, b, c) === 0 && ahead < 0;
}

type Edge = readonly [Corner, Corner];

function meet([a, b]: Edge, [c, d]: Edge): boolean {
  const [abc, abd, cda, cdb] = [side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)];
  if (abc * abd < 0 && cda * cdb < 0) return true;
  return (
    (abc === 0 && within(a, b, c)) ||
    (abd === 0 && within(a, b, d)) ||
    (cda === 0 && within(c, d, a)) ||
    (cdb === 0 && within(c, d, b))
  );
}

function within(a: Corner, b: Corner, c: Corner): boolean {
  return [0, 1].every((axis) => {
    const [p, q, r] = [a[axis] ?? 0, b[axis] ?? 0, c[axis] ?? 0];
    return r >= Math.min(p, q) && r <= Math.max(p, q);
  });
}
