import type { Point } from './space.js';

export type Colour = readonly [red: number, green: number, blue: number];

export const hex = (text: string): Colour => [
  Number.parseInt(text.slice(1, 3), 16),
  Number.parseInt(text.slice(3, 5), 16),
  Number.parseInt(text.slice(5, 7), 16),
];
export const css = (c: Colour): string => `rgb(${c.map((v) => Math.round(Math.min(255, Math.max(0, v)))).join(',')})`;
export const blend = (a: Colour, b: Colour, t: number): Colour => [
  a[0] + (b[0] - a[0]) * t,
  a[1] + (b[1] - a[1]) * t,
  a[2] + (b[2] - a[2]) * t,
];
export const dim = (c: Colour, k: number): Colour => [c[0] * k, c[1] * k, c[2] * k];

export const path = (points: readonly Point[], closed = true): string =>
  `M${points.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join('L')}${closed ? 'Z' : ''}`;
