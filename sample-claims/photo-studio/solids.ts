import { type Vec, cross, minus, mix, placed, plus, times, unit } from './space.js';
import { type Colour, css, dim, path } from './paint.js';
import type { Material, Stage } from './stage.js';
import type { Panel } from './panel.js';

export interface Pose {
  /** Where the middle of the underside stands. */
  readonly at: Vec;
  /** Degrees about the vertical. */
  readonly turn?: number;
}

export interface BoxSides {
  readonly front?: Panel;
  readonly back?: Panel;
  readonly left?: Panel;
  readonly right?: Panel;
  readonly top?: Panel;
}

/** A box of width (x), depth (y) and height (z). Answers the panels that the camera sees, for marks. */
export function box(
  stage: Stage,
  size: Vec,
  pose: Pose,
  material: Material,
  options: { bias?: number; shadow?: boolean } = {},
): BoxSides {
  const [w, d, h] = size;
  const p = (x: number, y: number, z: number): Vec =>
    placed([(x - 0.5) * w, (y - 0.5) * d, z * h], pose.turn ?? 0, pose.at);
  const vec = (a: Vec, b: Vec): Vec => minus(b, a);
  if (options.shadow)
    stage.shadow([p(0, 0, 0), p(1, 0, 0), p(1, 1, 0), p(0, 1, 0), p(0, 0, 1), p(1, 0, 1), p(1, 1, 1), p(0, 1, 1)]);
  const side = (corners: readonly [Vec, Vec, Vec, Vec]): Panel | undefined => {
    const [a, b, c, e] = corners;
    const normal = unit(cross(vec(a, e), vec(a, b)));
    stage.face([a, b, c, e], normal, material, { bias: options.bias ?? 0 });
    return stage.panel(a, vec(a, b), vec(a, e));
  };
  const sides = {
    front: side([p(0, 0, 1), p(1, 0, 1), p(1, 0, 0), p(0, 0, 0)]),
    back: side([p(1, 1, 1), p(0, 1, 1), p(0, 1, 0), p(1, 1, 0)]),
    left: side([p(0, 1, 1), p(0, 0, 1), p(0, 0, 0), p(0, 1, 0)]),
    right: side([p(1, 0, 1), p(1, 1, 1), p(1, 1, 0), p(1, 0, 0)]),
    top: side([p(0, 1, 1), p(1, 1, 1), p(1, 0, 1), p(0, 0, 1)]),
  };
  side([p(0, 0, 0), p(1, 0, 0), p(1, 1, 0), p(0, 1, 0)]);
  return Object.fromEntries(Object.entries(sides).filter(([, panel]) => panel !== undefined)) as BoxSides;
}

/** A tube of rectangular section swept along a line of points; `up` fixes its roll. Long pieces are cut so that they sort well. */
export function rail(
  stage: Stage,
  line: readonly Vec[],
  section: readonly [number, number],
  material: Material,
  up: Vec = [0, 0, 1],
): void {
  const points = subdivided(line, 0.12);
  const { edge, ...seamless } = material;
  const frames = points.map((at, i) => {
    const ahead = unit(minus(points[Math.min(i + 1, points.length - 1)] ?? at, points[Math.max(i - 1, 0)] ?? at));
    const side = unit(cross(ahead, up));
    const top = cross(side, ahead);
    const corner = (s: number, t: number): Vec =>
      plus(at, plus(times(side, (s * section[0]) / 2), times(top, (t * section[1]) / 2)));
    return { ahead, side, top, corners: [corner(-1, 1), corner(1, 1), corner(1, -1), corner(-1, -1)] as const };
  });
  frames.forEach((here, i) => {
    const next = frames[i + 1];
    if (!next) return;
    const [a, b, c, d] = here.corners;
    const [e, f, g, h] = next.corners;
    stage.face([a, e, f, b], here.top, seamless);
    stage.face([b, f, g, c], here.side, seamless);
    stage.face([c, g, h, d], times(here.top, -1), seamless);
    stage.face([d, h, e, a], times(here.side, -1), seamless);
    if (edge) highlight(stage, a, e, here.top, edge);
    if (edge) highlight(stage, b, f, here.top, edge);
  });
  const [first, last] = [frames[0], frames.at(-1)];
  if (first) stage.face([...first.corners], times(first.ahead, -1), material);
  if (last) stage.face([...last.corners], last.ahead, material);
}

/** The light line along an edge of bent sheet or tube. */
function highlight(stage: Stage, from: Vec, to: Vec, out: Vec, colour: Colour): void {
  if (!stage.camera.faces([from, to], out)) return;
  const px = Math.max(0.8, 0.004 * stage.camera.scale(from));
  const d = path([stage.camera.see(from), stage.camera.see(to)], false);
  stage.put(
    2,
    stage.camera.distance(from) - 0.03,
    `<path d="${d}" stroke="${css(colour)}" stroke-opacity=".5" stroke-width="${px.toFixed(1)}"/>`,
  );
}

/** A round rod swept along a line, e.g. a leg or an actuator. `radius` may vary along it (0 to 1). */
export function rod(
  stage: Stage,
  line: readonly Vec[],
  radius: number | ((t: number) => number),
  material: Material,
  sides = 20,
): void {
  const points = subdivided(line, 0.08);
  const { edge: _edge, ...seamless } = material;
  const rings = points.map((at, i) => {
    const ahead = unit(minus(points[Math.min(i + 1, points.length - 1)] ?? at, points[Math.max(i - 1, 0)] ?? at));
    const side = unit(cross(ahead, Math.abs(ahead[2]) > 0.9 ? [0, 1, 0] : [0, 0, 1]));
    const top = cross(side, ahead);
    const r = typeof radius === 'number' ? radius : radius(i / (points.length - 1));
    return {
      ahead,
      at,
      ring: Array.from({ length: sides }, (_, k): readonly [Vec, Vec] => {
        const a = (k / sides) * 2 * Math.PI;
        const out = plus(times(side, Math.cos(a)), times(top, Math.sin(a)));
        return [plus(at, times(out, r)), out];
      }),
    };
  });
  rings.forEach((here, i) => {
    const next = rings[i + 1];
    if (!next) return;
    here.ring.forEach(([a, out], k) => {
      const n = (k + 1) % sides;
      const b = here.ring[n];
      const c = next.ring[n];
      const d = next.ring[k];
      if (b && c && d) stage.face([a, d[0], c[0], b[0]], unit(plus(out, b[1])), seamless);
    });
  });
  const [first, last] = [rings[0], rings.at(-1)];
  if (first)
    stage.face(
      first.ring.map(([p]) => p),
      times(first.ahead, -1),
      material,
    );
  if (last)
    stage.face(
      last.ring.map(([p]) => p),
      last.ahead,
      material,
    );
}

/** A soft-edged solid (superellipsoid): cushions, housings, moulded plastic. `square` 0.1 is nearly a box, 1 an ellipsoid. */
export function cushion(
  stage: Stage,
  size: Vec,
  pose: Pose & { tilt?: number },
  material: Material,
  square = 0.28,
  steps = 26,
): void {
  const { edge: _edge, ...seamless } = material;
  const pow = (v: number, e: number): number => Math.sign(v) * Math.pow(Math.abs(v), e);
  const tilt = ((pose.tilt ?? 0) * Math.PI) / 180;
  const put = (x: number, y: number, z: number): Vec => {
    const ty = y * Math.cos(tilt) - z * Math.sin(tilt);
    const tz = y * Math.sin(tilt) + z * Math.cos(tilt);
    return placed([x, ty, tz], pose.turn ?? 0, [0, 0, 0]);
  };
  const half = times(size, 0.5);
  const centre = plus(pose.at, [0, 0, half[2]]);
  const at = (i: number, k: number): { p: Vec; n: Vec } => {
    const a = -Math.PI / 2 + (i / steps) * Math.PI;
    const b = -Math.PI + (k / (steps * 2)) * 2 * Math.PI;
    const [ca, sa, cb, sb] = [Math.cos(a), Math.sin(a), Math.cos(b), Math.sin(b)];
    const local: Vec = [
      half[0] * pow(ca, square) * pow(cb, square),
      half[1] * pow(ca, square) * pow(sb, square),
      half[2] * pow(sa, square),
    ];
    const normal: Vec = [
      (pow(ca, 2 - square) * pow(cb, 2 - square)) / half[0],
      (pow(ca, 2 - square) * pow(sb, 2 - square)) / half[1],
      pow(sa, 2 - square) / half[2],
    ];
    return { p: plus(centre, put(...local)), n: unit(put(...normal)) };
  };
  for (let i = 0; i < steps; i += 1) {
    for (let k = 0; k < steps * 2; k += 1) {
      const [a, b, c, d] = [at(i, k), at(i, k + 1), at(i + 1, k + 1), at(i + 1, k)];
      const normal = unit(plus(plus(a.n, b.n), plus(c.n, d.n)));
      if (Number.isFinite(normal[0])) stage.face([a.p, b.p, c.p, d.p], normal, seamless);
    }
  }
}

/** A cable through points in space: dark rim, body and a light line. */
export function cable(stage: Stage, points: readonly Vec[], width: number, material: Material, bias = 0.05): void {
  const smooth = curve(points, 14);
  // Three coats, each a little nearer, so that a later piece never covers the light line of an earlier one.
  const coats = [
    { colour: css(dim(material.colour, 0.45)), share: 1, opacity: 1, nearer: 0 },
    { colour: css(material.colour), share: 0.72, opacity: 1, nearer: 0.012 },
    { colour: '#ffffff', share: 0.16, opacity: 0.35, nearer: 0.02 },
  ];
  for (let i = 0; i + 1 < smooth.length; i += 3) {
    const piece = smooth.slice(i, i + 4);
    const at = piece[1] ?? piece[0];
    if (!at || piece.some((p) => stage.camera.depth(p) < 0.06)) continue;
    const px = Math.max(1.2, width * stage.camera.scale(at));
    const d = path(
      piece.map((p) => stage.camera.see(p)),
      false,
    );
    for (const { colour, share, opacity, nearer } of coats)
      stage.put(
        2,
        stage.camera.distance(at) - bias - nearer,
        `<path d="${d}" fill="none" stroke="${colour}" stroke-width="${(px * share).toFixed(1)}" stroke-opacity="${opacity}" stroke-linecap="${share === 1 ? 'round' : 'butt'}" stroke-linejoin="round"/>`,
      );
  }
}

/** Points of a smooth curve through the given ones (Catmull and Rom). */
export function curve(points: readonly Vec[], steps: number): Vec[] {
  const out: Vec[] = [];
  for (let i = 0; i + 1 < points.length; i += 1) {
    const p1 = points[i];
    const p2 = points[i + 1];
    if (!p1 || !p2) continue;
    const p0 = points[i - 1] ?? p1;
    const p3 = points[i + 2] ?? p2;
    for (let s = 0; s < steps; s += 1) {
      const t = s / steps;
      const term = (k: 0 | 1 | 2): number =>
        0.5 *
        (2 * p1[k] +
          (p2[k] - p0[k]) * t +
          (2 * p0[k] - 5 * p1[k] + 4 * p2[k] - p3[k]) * t * t +
          (3 * p1[k] - p0[k] - 3 * p2[k] + p3[k]) * t ** 3);
      out.push([term(0), term(1), term(2)]);
    }
  }
  const last = points.at(-1);
  return last ? [...out, last] : out;
}

function subdivided(line: readonly Vec[], longest: number): Vec[] {
  return line.flatMap((from, i) => {
    const to = line[i + 1];
    if (!to) return [from];
    const pieces = Math.max(1, Math.ceil(Math.hypot(...minus(to, from)) / longest));
    return Array.from({ length: pieces }, (_, k) => mix(from, to, k / pieces));
  });
}
