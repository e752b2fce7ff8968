import { CORD, PLASTIC } from './finishes.js';
import { dim, hex } from './paint.js';
import { box, cable, rail } from './solids.js';
import { type Vec, placed } from './space.js';
import type { Material, Stage } from './stage.js';

export interface DeskPlan {
  readonly at: Vec;
  readonly turn?: number;
  readonly height?: number;
  /** Height by which the right end hangs, in metres. */
  readonly drop?: number;
  readonly bentFoot?: boolean;
  readonly load?: number;
  readonly top?: string;
  readonly scratched?: boolean;
}

/** A height-adjustable desk on its feet. */
export function desk(stage: Stage, plan: DeskPlan): void {
  const turn = plan.turn ?? 0;
  const p = (x: number, y: number, z: number): Vec => placed([x, y, z], turn, plan.at);
  const [w, d] = [1.6, 0.76];
  const h = plan.height ?? 0.74;
  const drop = plan.drop ?? 0;
  const frame: Material = { colour: hex('#d6d7d4'), gloss: 0.5, edge: hex('#ffffff') };
  stage.shadow([p(-w / 2, -d / 2, h), p(w / 2, -d / 2, h), p(w / 2, d / 2, h), p(-w / 2, d / 2, h)], 0.3, 0.12);
  for (const side of [-1, 1]) {
    const x = side * 0.58;
    const top = side > 0 ? h - drop : h;
    stage.shadow([p(x - 0.04, -0.34, 0), p(x + 0.04, -0.34, 0), p(x + 0.04, 0.34, 0), p(x - 0.04, 0.34, 0)], 0.5, 0.02);
    const kink = plan.bentFoot === true && side < 0;
    rail(
      stage,
      kink
        ? [p(x, 0.34, 0.03), p(x, -0.12, 0.03), p(x - 0.05, -0.24, 0.075), p(x - 0.08, -0.35, 0.14)]
        : [p(x, 0.34, 0.03), p(x, -0.34, 0.03)],
      [0.08, 0.035],
      frame,
    );
    rail(stage, [p(x, 0, 0.04), p(x, 0, top * 0.62)], [0.09, 0.065], frame, [0, 1, 0]);
    rail(
      stage,
      [p(x, 0, top * 0.6), p(x, 0, top * 0.85)],
      [0.078, 0.055],
      { ...frame, colour: hex('#c9cac7') },
      [0, 1, 0],
    );
    rail(
      stage,
      [p(x, 0, top * 0.84), p(x, 0, top - 0.05)],
      [0.066, 0.045],
      { ...frame, colour: hex('#bdbebb') },
      [0, 1, 0],
    );
    rail(stage, [p(x, 0.3, top - 0.045), p(x, -0.3, top - 0.045)], [0.05, 0.03], frame);
    box(stage, [0.11, 0.14, 0.08], { at: p(x - side * 0.09, 0, top - 0.14), turn }, PLASTIC);
  }
  rail(stage, [p(-0.55, 0, h - 0.05), p(0.55, 0, h - 0.05 - drop)], [0.08, 0.05], frame);
  box(stage, [0.3, 0.1, 0.045], { at: p(-0.1, 0.16, h - 0.09), turn }, PLASTIC);
  deskTop(stage, p, plan, [w, d, h, drop]);
  box(stage, [0.11, 0.05, 0.022], { at: p(0.55, -d / 2 + 0.01, h - drop * 0.9 - 0.05), turn }, PLASTIC, { bias: 0.2 });
  cable(
    stage,
    [p(-0.2, 0.2, h - 0.1), p(-0.3, 0.3, h - 0.3), p(-0.42, 0.34, 0.2), p(-0.9, 0.5, 0.01), p(-1.6, 0.9, 0.01)],
    0.01,
    CORD,
    -0.1,
  );
}

function deskTop(
  stage: Stage,
  p: (x: number, y: number, z: number) => Vec,
  plan: DeskPlan,
  [w, d, h, drop]: readonly [number, number, number, number],
): void {
  const wood: Material = { colour: hex(plan.top ?? '#a87a4e'), gloss: 0.25, edge: hex('#d9b183') };
  const q = (x: number, y: number, z: number): Vec => p(x, y, z - drop * (x / w + 0.5));
  const thick = 0.027;
  const [l, r, f, b] = [-w / 2, w / 2, -d / 2, d / 2];
  stage.face([q(l, b, h), q(r, b, h), q(r, b, h - thick), q(l, b, h - thick)], [0, 1, 0], wood, { bias: 0.3 });
  stage.face(
    [q(l, f, h), q(r, f, h), q(r, f, h - thick), q(l, f, h - thick)],
    placed([0, -1, 0], plan.turn ?? 0, [0, 0, 0]),
    { ...wood, colour: dim(wood.colour, 0.8) },
    { bias: 0.35 },
  );
  stage.face(
    [q(r, f, h), q(r, b, h), q(r, b, h - thick), q(r, f, h - thick)],
    placed([1, 0, 0], plan.turn ?? 0, [0, 0, 0]),
    { ...wood, colour: dim(wood.colour, 0.8) },
    { bias: 0.35 },
  );
  stage.face([q(l, b, h), q(r, b, h), q(r, f, h), q(l, f, h)], [0, 0, 1], wood, { bias: 0.35 });
  const top = stage.panel(
    q(l, b, h),
    [q(r, b, h)[0] - q(l, b, h)[0], q(r, b, h)[1] - q(l, b, h)[1], q(r, b, h)[2] - q(l, b, h)[2]],
    [q(l, f, h)[0] - q(l, b, h)[0], q(l, f, h)[1] - q(l, b, h)[1], 0],
  );
  if (top) {
    for (let i = 0; i < 26; i += 1) {
      const v = stage.chance.between(0.01, d - 0.01);
      const sway = stage.chance.between(-0.012, 0.012);
      top.line(
        [0, 0.25, 0.5, 0.75, 1].map((t): [number, number] => [t * w, v + Math.sin(t * 6 + i) * sway]),
        0.002,
        { colour: dim(wood.colour, 0.6), opacity: 0.35 },
      );
    }
    if (plan.scratched) {
      top.line(
        [
          [w * 0.2, d * 0.62],
          [w * 0.5, d * 0.55],
          [w * 0.78, d * 0.6],
        ],
        0.005,
        { colour: hex('#f0dcc0'), opacity: 0.95 },
      );
      top.line(
        [
          [w * 0.2, d * 0.63],
          [w * 0.5, d * 0.56],
          [w * 0.78, d * 0.61],
        ],
        0.002,
        { colour: hex('#3c2512'), opacity: 0.9 },
      );
    }
    top.finish(0.4);
  }
  for (let i = 0; i < (plan.load ?? 0); i += 1) {
    const b2 = box(
      stage,
      [0.36, 0.3, 0.26],
      {
        at: q(-0.52 + (i % 3) * 0.42, 0.02, h + 0.26 * Math.floor(i / 3)),
        turn: (plan.turn ?? 0) + stage.chance.between(-6, 6),
      },
      { colour: hex('#b08656'), edge: hex('#dfc294') },
      { bias: 0.9 + 0.1 * Math.floor(i / 3) },
    );
    b2.front?.text('BOOKS', 0.06, 0.09, 0.06, { colour: [40, 30, 22] });
    b2.front?.text('25 KG', 0.06, 0.17, 0.04, { colour: [40, 30, 22] });
    b2.front?.finish(0.95);
  }
}
