/** Points, a pinhole camera and seeded chance: the ground on which every scene stands. Metres; x right, y away, z up. */

export type Vec = readonly [x: number, y: number, z: number];
export type Point = readonly [x: number, y: number];

export const plus = (a: Vec, b: Vec): Vec => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
export const minus = (a: Vec, b: Vec): Vec => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const times = (a: Vec, k: number): Vec => [a[0] * k, a[1] * k, a[2] * k];
export const dot = (a: Vec, b: Vec): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const cross = (a: Vec, b: Vec): Vec => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
export const unit = (a: Vec): Vec => times(a, 1 / (Math.hypot(...a) || 1));
export const mix = (a: Vec, b: Vec, t: number): Vec => plus(times(a, 1 - t), times(b, t));
export const middle = (points: readonly Vec[]): Vec =>
  times(
    points.reduce((sum, p) => plus(sum, p), [0, 0, 0] as Vec),
    1 / points.length,
  );

/** Turns about the vertical axis by an angle in degrees, then moves. */
export function placed(point: Vec, turn: number, to: Vec): Vec {
  const a = (turn * Math.PI) / 180;
  return plus(
    [point[0] * Math.cos(a) - point[1] * Math.sin(a), point[0] * Math.sin(a) + point[1] * Math.cos(a), point[2]],
    to,
  );
}

export interface CameraPlan {
  readonly eye: Vec;
  readonly at: Vec;
  /** Vertical angle of view in degrees. */
  readonly view: number;
  /** Degrees by which the photographer holds it askew. */
  readonly roll?: number;
}

const NEAR = 0.05;

export class Camera {
  readonly eye: Vec;
  readonly width: number;
  readonly height: number;
  private readonly forward: Vec;
  private readonly right: Vec;
  private readonly up: Vec;
  private readonly focal: number;

  constructor(plan: CameraPlan, width: number, height: number) {
    this.eye = plan.eye;
    this.width = width;
    this.height = height;
    this.forward = unit(minus(plan.at, plan.eye));
    const level = unit(cross(this.forward, [0, 0, 1]));
    const upright = cross(level, this.forward);
    const roll = ((plan.roll ?? 0) * Math.PI) / 180;
    this.right = plus(times(level, Math.cos(roll)), times(upright, Math.sin(roll)));
    this.up = plus(times(upright, Math.cos(roll)), times(level, -Math.sin(roll)));
    this.focal = height / 2 / Math.tan((plan.view * Math.PI) / 360);
  }

  depth(p: Vec): number {
    return dot(minus(p, this.eye), this.forward);
  }

  distance(p: Vec): number {
    return Math.hypot(...minus(p, this.eye));
  }

  see(p: Vec): Point {
    const from = minus(p, this.eye);
    const z = Math.max(dot(from, this.forward), NEAR);
    return [
      this.width / 2 + (dot(from, this.right) / z) * this.focal,
      this.height / 2 - (dot(from, this.up) / z) * this.focal,
    ];
  }

  /** Pixels that one metre takes at a point. */
  scale(p: Vec): number {
    return this.focal / Math.max(this.depth(p), NEAR);
  }

  /** What is left of a polygon in front of the camera (Sutherland and Hodgman's clip against one plane). */
  clip(polygon: readonly Vec[]): Vec[] {
    const kept: Vec[] = [];
    polygon.forEach((to, index) => {
      const from = polygon[(index + polygon.length - 1) % polygon.length] ?? to;
      const a = this.depth(from) - NEAR;
      const b = this.depth(to) - NEAR;
      if (a * b < 0) kept.push(mix(from, to, a / (a - b)));
      if (b >= 0) kept.push(to);
    });
    return kept;
  }

  faces(polygon: readonly Vec[], normal: Vec): boolean {
    return dot(minus(this.eye, middle(polygon)), normal) > 0;
  }
}

/** Seeded chance: the same text gives the same sequence on every machine (mulberry32 over an FNV-1a hash). */
export class Chance {
  private state: number;

  constructor(seed: string) {
    let hash = 0x811c9dc5;
    for (const letter of seed) hash = Math.imul(hash ^ (letter.codePointAt(0) ?? 0), 0x01000193);
    this.state = hash >>> 0;
  }

  /** At least 0, below 1. */
  next(): number {
    this.state = (this.state + 0x6d2b79f5) >>> 0;
    let t = this.state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  }

  between(low: number, high: number): number {
    return low + (high - low) * this.next();
  }
}
