import { type Point, type Vec, cross, middle, plus, times, unit } from './space.js';
import { type Colour, css, path } from './paint.js';
import type { Stage } from './stage.js';
import { lettering } from './strokes.js';

/** Paint of a mark: fill or line colour and opacity. */
export interface Ink {
  readonly colour: Colour;
  readonly opacity?: number;
  readonly blur?: number;
}

/**
 * A flat rectangle in the scene with its own ruler: u metres across from the left and v metres down from the top, as one reads it
 * from outside. Marks are projected point by point, so that print, tape and damage lie in perspective.
 */
export class Panel {
  readonly normal: Vec;
  readonly width: number;
  readonly height: number;
  private readonly stage: Stage;
  private readonly origin: Vec;
  private readonly across: Vec;
  private readonly down: Vec;
  private readonly marks: string[] = [];

  /** @param across vector from the top left to the top right @param down vector from the top left to the bottom left */
  constructor(stage: Stage, origin: Vec, across: Vec, down: Vec) {
    this.stage = stage;
    this.origin = origin;
    this.width = Math.hypot(...across);
    this.height = Math.hypot(...down);
    this.across = unit(across);
    this.down = unit(down);
    this.normal = unit(cross(this.down, this.across));
  }

  point(u: number, v: number, out = 0): Vec {
    return plus(plus(this.origin, times(this.across, u)), plus(times(this.down, v), times(this.normal, out)));
  }

  corners(): Vec[] {
    return [
      this.point(0, 0),
      this.point(this.width, 0),
      this.point(this.width, this.height),
      this.point(0, this.height),
    ];
  }

  see(u: number, v: number): Point {
    return this.stage.camera.see(this.point(u, v));
  }

  /** Adds raw SVG in screen units. */
  raw(svg: string): void {
    this.marks.push(svg);
  }

  area(points: readonly Point[], ink: Ink): void {
    this.mark(`<path d="${path(points.map(([u, v]) => this.see(u, v)))}" fill="${css(ink.colour)}"`, ink);
  }

  rectangle(u: number, v: number, width: number, height: number, ink: Ink, turn = 0): void {
    const a = (turn * Math.PI) / 180;
    const corner = (x: number, y: number): Point => [
      u + x * Math.cos(a) - y * Math.sin(a),
      v + x * Math.sin(a) + y * Math.cos(a),
    ];
    this.area([corner(0, 0), corner(width, 0), corner(width, height), corner(0, height)], ink);
  }

  /** An open line of a width in metres. */
  line(points: readonly Point[], width: number, ink: Ink): void {
    const at = middle(points.map(([u, v]) => this.point(u, v)));
    const px = Math.max(0.6, width * this.stage.camera.scale(at));
    const d = path(
      points.map(([u, v]) => this.see(u, v)),
      false,
    );
    this.mark(
      `<path d="${d}" fill="none" stroke="${css(ink.colour)}" stroke-width="${px.toFixed(2)}" stroke-linecap="round" stroke-linejoin="round"`,
      ink,
    );
  }

  ellipse(u: number, v: number, radiusU: number, radiusV: number, ink: Ink): void {
    this.area(
      Array.from({ length: 28 }, (_, i): Point => {
        const a = (i / 28) * 2 * Math.PI;
        return [u + Math.cos(a) * radiusU, v + Math.sin(a) * radiusV];
      }),
      ink,
    );
  }

  /** A line of capitals of a height in metres, top left at u, v. `shake` makes it handwriting. */
  text(
    words: string,
    u: number,
    v: number,
    height: number,
    ink: Ink,
    style: { bold?: number; slant?: number; shake?: number; turn?: number } = {},
  ): void {
    const shake = style.shake ?? 0;
    const a = ((style.turn ?? 0) * Math.PI) / 180;
    for (const run of lettering(words, style.slant ?? 0)) {
      const points = run.map(([x, y]): Point => {
        const du = (x * 0.78 + this.stage.chance.between(-shake, shake)) * height;
        const dv = (y + this.stage.chance.between(-shake, shake)) * height;
        return [u + du * Math.cos(a) - dv * Math.sin(a), v + du * Math.sin(a) + dv * Math.cos(a)];
      });
      this.line(points.length === 1 ? [...points, ...points] : points, height * (style.bold ?? 0.12), ink);
    }
  }

  /** Outline that wobbles around an ellipse, for stains, dents and torn edges. */
  blob(u: number, v: number, radiusU: number, radiusV: number, rough = 0.25, steps = 22): Point[] {
    return Array.from({ length: steps }, (_, i): Point => {
      const a = (i / steps) * 2 * Math.PI;
      const r = 1 + this.stage.chance.between(-rough, rough);
      return [u + Math.cos(a) * radiusU * r, v + Math.sin(a) * radiusV * r];
    });
  }

  /** Hands the marks to the stage, just in front of whatever the panel lies on. @param outline clips the marks; default the rectangle */
  finish(bias = 0.02, outline: readonly Vec[] = this.corners()): void {
    const clipped = this.stage.camera.clip(outline);
    if (this.marks.length === 0 || clipped.length < 3) return;
    const clip = this.stage.define(
      (id) => `<clipPath id="${id}"><path d="${path(clipped.map((p) => this.stage.camera.see(p)))}"/></clipPath>`,
    );
    const depth = this.stage.camera.distance(middle(this.corners())) - bias;
    this.stage.put(2, depth, `<g clip-path="url(#${clip})">${this.marks.join('')}</g>`);
  }

  private mark(open: string, ink: Ink): void {
    const blurred =
      ink.blur === undefined
        ? ''
        : ` filter="url(#${this.stage.define((id) => `<filter id="${id}" x="-40%" y="-40%" width="180%" height="180%"><feGaussianBlur stdDeviation="${(ink.blur ?? 0) * this.stage.camera.scale(this.point(this.width / 2, this.height / 2))}"/></filter>`)})"`;
    this.marks.push(`${open} opacity="${ink.opacity ?? 1}"${blurred}/>`);
  }
}
