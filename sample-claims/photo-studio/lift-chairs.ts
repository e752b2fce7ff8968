import { BRIGHT, CORD, PLASTIC, STEEL } from './finishes.js';
import { dim, hex } from './paint.js';
import { box, cable, cushion, rail, rod } from './solids.js';
import { type Vec, placed, plus } from './space.js';
import type { Material, Stage } from './stage.js';

export interface ChairPlan {
  readonly at: Vec;
  readonly turn?: number;
  readonly fabric?: string;
  /** Seat raised at the back, in metres, as the lift does it. */
  readonly lift?: number;
  readonly lean?: number;
  readonly cut?: boolean;
}

/** A lift chair with its steel lift frame, from the front. */
export function liftChair(stage: Stage, plan: ChairPlan): void {
  const turn = plan.turn ?? 0;
  const lift = plan.lift ?? 0;
  const p = (x: number, y: number, z: number): Vec => placed([x, y, z], turn, plan.at);
  const cloth: Material = { colour: hex(plan.fabric ?? '#6d7f73'), gloss: 0.05 };
  const dark: Material = { colour: dim(cloth.colour, 0.86), gloss: 0.05 };
  stage.shadow(
    [p(-0.4, -0.42, 0), p(0.4, -0.42, 0), p(0.4, 0.5, 0), p(-0.4, 0.5, 0), p(-0.36, 0.3, 0.8), p(0.36, 0.3, 0.8)],
    0.5,
    0.07,
  );
  for (const x of [-0.3, 0.3]) {
    rail(stage, [p(x, 0.42, 0.03), p(x, -0.36, 0.03)], [0.05, 0.04], STEEL);
    if (lift > 0) rail(stage, [p(x, -0.3, 0.06), p(x, 0.16, 0.16 + lift * 0.8)], [0.035, 0.04], STEEL);
  }
  rail(stage, [p(-0.3, 0.38, 0.05), p(0.3, 0.38, 0.05)], [0.05, 0.04], STEEL);
  if (lift > 0) {
    rod(stage, [p(0, 0.34, 0.09), p(0, 0.0, 0.2 + lift * 0.6)], 0.02, BRIGHT);
    cushion(stage, [0.1, 0.18, 0.1], { at: p(0, 0.28, 0.06), turn }, PLASTIC, 0.35, 12);
  }
  const base = 0.09 + lift * 0.55;
  cushion(stage, [0.74, 0.74, 0.26], { at: p(0, 0.06, base), turn, tilt: lift * 30 }, dark, 0.18, 18);
  cushion(
    stage,
    [0.52, 0.6, 0.19],
    { at: p(0, -0.02, base + 0.22 + lift * 0.05), turn, tilt: lift * 30 },
    cloth,
    0.34,
    22,
  );
  for (const side of [-1, 1])
    cushion(
      stage,
      [0.17, 0.78, 0.36],
      { at: p(side * 0.345, 0.03, base + 0.18 + lift * 0.05), turn, tilt: lift * 30 },
      cloth,
      0.36,
      22,
    );
  const lean = plan.lean ?? -12;
  cushion(
    stage,
    [0.56, 0.2, 0.42],
    { at: p(0, 0.3, base + 0.34 + lift * 0.2), turn, tilt: lean + lift * 30 },
    cloth,
    0.36,
    20,
  );
  cushion(
    stage,
    [0.58, 0.22, 0.34],
    { at: p(0, 0.38, base + 0.68 + lift * 0.2), turn, tilt: lean + lift * 30 },
    cloth,
    0.38,
    20,
  );
  const front = stage.panel(
    p(-0.36, -0.33 + lift * 0.02, base + 0.23),
    [p(0.36, 0, 0)[0] - p(-0.36, 0, 0)[0], p(0.36, 0, 0)[1] - p(-0.36, 0, 0)[1], 0],
    [0, 0, -0.2],
  );
  if (front && lift === 0) {
    front.line(
      [
        [0.05, 0.02],
        [0.67, 0.02],
      ],
      0.004,
      { colour: dim(cloth.colour, 0.5), opacity: 0.7 },
    );
    if (plan.cut) {
      front.line(
        [
          [0.2, 0.07],
          [0.52, 0.085],
        ],
        0.009,
        { colour: [20, 16, 12] },
      );
      front.line(
        [
          [0.2, 0.064],
          [0.52, 0.079],
        ],
        0.003,
        { colour: hex('#e9e6dc') },
      );
    }
    front.finish(0.3);
  }
  const hand = p(0.44, -0.18, base + 0.2);
  box(stage, [0.06, 0.035, 0.15], { at: hand, turn }, PLASTIC, { bias: 0.2 });
  cable(
    stage,
    [plus(hand, [0, 0, 0]), p(0.46, -0.1, base + 0.02), p(0.42, 0.2, 0.06), p(0.3, 0.34, 0.06)],
    0.009,
    CORD,
    0.1,
  );
}
