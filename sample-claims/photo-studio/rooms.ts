import type { Vec } from './space.js';
import { type Colour, blend, css, dim, hex, path } from './paint.js';
import type { Stage } from './stage.js';

export type FloorKind = 'oak' | 'walnut' | 'tile' | 'carpet' | 'concrete';

export interface RoomPlan {
  readonly floor: FloorKind;
  readonly wall: Colour;
  /** Distance of the far wall. */
  readonly wallAt: number;
  readonly window?: boolean;
  readonly door?: number;
  readonly rug?: readonly [x: number, y: number, width: number, depth: number, colour: string];
}

const FLOORS: Readonly<Record<FloorKind, Colour>> = {
  oak: hex('#c39a68'),
  walnut: hex('#7d5a40'),
  tile: hex('#c9c4ba'),
  carpet: hex('#a39b90'),
  concrete: hex('#9a9994'),
};

/** Floor, far wall with skirting, and what stands or falls on them. */
export function room(stage: Stage, plan: RoomPlan): void {
  quad(stage, flat(-8, -6, 8, plan.wallAt), FLOORS[plan.floor], 100);
  if (plan.floor === 'oak' || plan.floor === 'walnut') planks(stage, FLOORS[plan.floor], plan.wallAt);
  else if (plan.floor === 'tile') tiles(stage, plan.wallAt);
  else specks(stage, FLOORS[plan.floor], plan.wallAt, plan.floor === 'carpet' ? 2600 : 1400);
  if (plan.rug) rug(stage, plan.rug);
  wall(stage, plan);
  if (plan.window) lightPatch(stage);
}

const flat = (x0: number, y0: number, x1: number, y1: number): Vec[] => [
  [x0, y0, 0],
  [x1, y0, 0],
  [x1, y1, 0],
  [x0, y1, 0],
];

function quad(stage: Stage, points: readonly Vec[], colour: Colour, depth: number, opacity = 1): void {
  const clipped = stage.camera.clip(points);
  if (clipped.length < 3) return;
  const d = path(clipped.map((p) => stage.camera.see(p)));
  stage.put(0, depth, `<path d="${d}" fill="${css(colour)}" fill-opacity="${opacity}"/>`);
}

function planks(stage: Stage, base: Colour, wallAt: number): void {
  const { chance, camera } = stage;
  const wide = 0.16;
  for (let x = -4; x < 4; x += wide) {
    for (let y = -3 + chance.between(-1, 0); y < wallAt;) {
      const long = chance.between(0.9, 1.7);
      const end = Math.min(y + long, wallAt);
      const tone = dim(blend(base, hex('#8a5a2c'), chance.between(0, 0.22)), chance.between(0.88, 1.08));
      quad(stage, flat(x + 0.0015, y + 0.0015, x + wide - 0.0015, end - 0.0015), tone, 99);
      for (let g = 0; g < 5; g += 1) {
        const gx = x + chance.between(0.012, wide - 0.012);
        const sway = chance.between(-0.012, 0.012);
        const line = [0, 0.33, 0.66, 1].map((t): Vec => [
          gx + sway * Math.sin(t * 5),
          y + (end - y) * (0.02 + 0.96 * t),
          0,
        ]);
        if (line.some((p) => camera.depth(p) < 0.1)) continue;
        const px = Math.max(0.5, 0.0022 * camera.scale(line[1] ?? [gx, y, 0]));
        stage.put(
          0,
          98,
          `<path d="${path(
            line.map((p) => camera.see(p)),
            false,
          )}" fill="none" stroke="${css(dim(tone, 0.74))}" stroke-opacity="${chance.between(0.15, 0.5).toFixed(2)}" stroke-width="${px.toFixed(1)}"/>`,
        );
      }
      y += long;
    }
  }
  quad(stage, flat(-8, -6, 8, wallAt), dim(base, 0.3), 99.5, 0.35);
}

function tiles(stage: Stage, wallAt: number): void {
  quad(stage, flat(-8, -6, 8, wallAt), hex('#9c968b'), 99.5);
  for (let x = -3; x < 3; x += 0.4) {
    for (let y = -2.4; y < wallAt; y += 0.4) {
      const tone = dim(FLOORS.tile, stage.chance.between(0.95, 1.04));
      quad(stage, flat(x + 0.003, y + 0.003, x + 0.397, Math.min(y + 0.397, wallAt)), tone, 99);
    }
  }
}

function specks(stage: Stage, base: Colour, wallAt: number, count: number): void {
  const { chance, camera } = stage;
  for (let i = 0; i < count; i += 1) {
    const p: Vec = [chance.between(-2.6, 2.6), chance.between(-2, wallAt), 0];
    if (camera.depth(p) < 0.2) continue;
    const [x, y] = camera.see(p);
    const r = Math.max(0.7, 0.005 * camera.scale(p) * chance.between(0.4, 1.2));
    const tone = dim(base, chance.next() < 0.5 ? 0.82 : 1.14);
    stage.put(
      0,
      98,
      `<ellipse cx="${x.toFixed(1)}" cy="${y.toFixed(1)}" rx="${r.toFixed(1)}" ry="${(r * 0.5).toFixed(1)}" fill="${css(tone)}" fill-opacity=".45"/>`,
    );
  }
}

function rug(stage: Stage, [x, y, width, depth, colour]: NonNullable<RoomPlan['rug']>): void {
  const base = hex(colour);
  quad(stage, flat(x, y, x + width, y + depth), dim(base, 0.7), 97);
  quad(stage, flat(x + 0.02, y + 0.02, x + width - 0.02, y + depth - 0.02), base, 96);
  for (const inset of [0.09, 0.13]) {
    const edge = flat(x + inset, y + inset, x + width - inset, y + depth - inset);
    const clipped = stage.camera.clip(edge);
    stage.put(
      0,
      95,
      `<path d="${path(clipped.map((p) => stage.camera.see(p)))}" fill="none" stroke="${css(dim(base, 1.35))}" stroke-width="4" stroke-opacity=".6"/>`,
    );
  }
}

function wall(stage: Stage, plan: RoomPlan): void {
  const y = plan.wallAt;
  const upright = (x0: number, z0: number, x1: number, z1: number): Vec[] => [
    [x0, y, z0],
    [x1, y, z0],
    [x1, y, z1],
    [x0, y, z1],
  ];
  quad(stage, upright(-9, 0, 9, 4), plan.wall, 90);
  for (let i = 0; i < 14; i += 1)
    quad(stage, upright(-9, 0.02 * i, 9, 0.02 * (i + 1) + 0.04), dim(plan.wall, 0.4), 89, 0.05);
  quad(stage, upright(-9, 0, 9, 0.11), hex('#e9e6df'), 88);
  quad(stage, upright(-9, 0.1, 9, 0.115), hex('#ffffff'), 87, 0.8);
  quad(stage, upright(-9, 0, 9, 0.02), hex('#5d554b'), 87, 0.55);
  if (plan.door !== undefined) {
    const x = plan.door;
    quad(stage, upright(x - 0.08, 0, x + 0.98, 2.12), hex('#efece5'), 86);
    quad(stage, upright(x, 0, x + 0.9, 2.04), hex('#d8d2c6'), 85);
    for (const [z0, z1] of [
      [0.2, 0.9],
      [1.05, 1.9],
    ] as const)
      for (const dx of [0.1, 0.5]) {
        quad(stage, upright(x + dx, z0, x + dx + 0.31, z1), hex('#b9b2a4'), 84);
        quad(stage, upright(x + dx + 0.012, z0 + 0.012, x + dx + 0.3, z1 - 0.02), hex('#dcd7cc'), 83);
      }
    quad(stage, upright(x + 0.83, 1.0, x + 0.87, 1.04), hex('#8c8577'), 82);
  }
}

function lightPatch(stage: Stage): void {
  const filter = stage.define(
    (id) =>
      `<filter id="${id}" x="-20%" y="-20%" width="140%" height="140%"><feGaussianBlur stdDeviation="9"/></filter>`,
  );
  for (const dx of [0, 0.62]) {
    const patch: Vec[] = [
      [-1.9 + dx, 0.1, 0],
      [-1.4 + dx, 0.1, 0],
      [-0.6 + dx, 1.9, 0],
      [-1.1 + dx, 1.9, 0],
    ];
    const clipped = stage.camera.clip(patch);
    if (clipped.length > 2)
      stage.put(
        0,
        80,
        `<path d="${path(clipped.map((p) => stage.camera.see(p)))}" fill="#fff3d6" fill-opacity=".38" filter="url(#${filter})"/>`,
      );
  }
}
