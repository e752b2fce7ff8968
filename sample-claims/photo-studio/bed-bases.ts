import { BRIGHT, CORD, PLASTIC, STEEL } from './finishes.js';
import { hex } from './paint.js';
import { box, cable, cushion, rail, rod } from './solids.js';
import { type Vec, placed, plus } from './space.js';
import type { Stage } from './stage.js';

export interface BedPlan {
  readonly at: Vec;
  readonly turn?: number;
  /** How far the side rail is pushed in, in metres. */
  readonly bent?: number;
  /** Legs that are there, by place 0 to 5; default all. */
  readonly legs?: readonly number[];
  readonly bentLeg?: number;
  readonly cables?: boolean;
  readonly water?: boolean;
}

/** A powered bed base lying upside down on a blanket, as it comes out of its carton. */
export function bedBase(stage: Stage, plan: BedPlan): void {
  const turn = plan.turn ?? 0;
  const p = (x: number, y: number, z: number): Vec => placed([x, y, z], turn, plan.at);
  const [w, d] = [1.5, 1.9];
  blanket(stage, p, w, d);
  stage.shadow(
    [p(-w / 2, -d / 2, 0.02), p(w / 2, -d / 2, 0.02), p(w / 2, d / 2, 0.02), p(-w / 2, d / 2, 0.02)],
    0.55,
    0.06,
    0.01,
  );
  for (const y of [-d / 4, d / 4])
    box(
      stage,
      [w, d / 2 - 0.015, 0.05],
      { at: p(0, y, 0.012), turn },
      { colour: hex('#57585c'), edge: hex('#8a8b90') },
      { bias: -0.5 },
    );
  const z = 0.085;
  const push = plan.bent ?? 0;
  const side = (x: number): Vec[] =>
    x < 0 && push > 0
      ? [
          p(x, -d / 2, z),
          p(x + 0.01, -0.5, z),
          p(x + push, -0.34, z + push * 0.4),
          p(x + push * 0.35, -0.12, z),
          p(x, 0.2, z),
          p(x, d / 2, z),
        ]
      : [p(x, -d / 2, z), p(x, d / 2, z)];
  rail(stage, side(-w / 2 + 0.03), [0.045, 0.06], STEEL);
  rail(stage, side(w / 2 - 0.03), [0.045, 0.06], STEEL);
  for (const y of [-d / 2 + 0.02, -0.32, 0.04, 0.44, d / 2 - 0.02])
    rail(stage, [p(-w / 2 + 0.05, y, z), p(w / 2 - 0.05, y, z)], [0.045, 0.055], STEEL);
  for (const [from, to, x] of [
    [-0.32, -0.78, -0.22],
    [0.44, 0.86, 0.2],
  ] as const) {
    rod(stage, [p(x, from, z + 0.06), p(x, to, z + 0.055)], 0.021, BRIGHT);
    rod(stage, [p(x, from, z + 0.06), p(x, (from + to) / 2, z + 0.058)], 0.031, STEEL);
    cushion(stage, [0.1, 0.17, 0.1], { at: p(x + 0.05, from, z + 0.01), turn }, PLASTIC, 0.35, 12);
  }
  box(stage, [0.24, 0.13, 0.05], { at: p(0.3, 0.12, z + 0.02), turn }, PLASTIC);
  if (plan.cables !== false) {
    cable(
      stage,
      [p(0.2, 0.12, z + 0.05), p(0.05, 0.02, z + 0.1), p(-0.12, -0.14, z + 0.06), p(-0.17, -0.3, z + 0.07)],
      0.012,
      CORD,
    );
    cable(stage, [p(0.3, 0.18, z + 0.05), p(0.34, 0.3, z + 0.07), p(0.26, 0.4, z + 0.07)], 0.012, CORD);
  }
  const places = [
    [-1, -1],
    [1, -1],
    [-1, 0.05],
    [1, 0.05],
    [-1, 1],
    [1, 1],
  ] as const;
  places.forEach(([sx, sy], i) => {
    const [x, y] = [sx * (w / 2 - 0.1), sy * (d / 2 - 0.09)];
    box(stage, [0.1, 0.1, 0.008], { at: p(x, y, z + 0.03), turn }, STEEL, { bias: 0.03 });
    if (plan.legs && !plan.legs.includes(i)) {
      rod(stage, [p(x, y, z + 0.036), p(x, y, z + 0.042)], 0.014, { colour: hex('#0b0b0c') });
      return;
    }
    const top = z + 0.24;
    const bent = plan.bentLeg === i;
    rod(
      stage,
      bent
        ? [p(x, y, z + 0.03), p(x, y, z + 0.1), p(x - 0.045, y - 0.03, z + 0.17), p(x - 0.12, y - 0.06, top - 0.02)]
        : [p(x, y, z + 0.03), p(x, y, top)],
      (t) => 0.022 - 0.004 * t,
      STEEL,
    );
    if (!bent) rod(stage, [p(x, y, top), p(x, y, top + 0.02)], 0.024, PLASTIC);
  });
}

function blanket(stage: Stage, p: (x: number, y: number, z: number) => Vec, w: number, d: number): void {
  const sheet = stage.panel(
    p(-w / 2 - 0.2, d / 2 + 0.15, 0.004),
    plus(p(w / 2 + 0.2, 0, 0), [-p(-w / 2 - 0.2, 0, 0)[0], -p(-w / 2 - 0.2, 0, 0)[1], 0]),
    plus(p(0, -d / 2 - 0.2, 0), [-p(0, d / 2 + 0.15, 0)[0], -p(0, d / 2 + 0.15, 0)[1], 0]),
  );
  if (!sheet) return;
  sheet.rectangle(0, 0, sheet.width, sheet.height, { colour: hex('#6f7f78') });
  for (let u = 0.05; u < sheet.width; u += 0.11)
    sheet.line(
      [
        [u, 0],
        [u + stage.chance.between(-0.01, 0.01), sheet.height],
      ],
      0.004,
      { colour: hex('#56655f'), opacity: 0.6 },
    );
  for (let v = 0.05; v < sheet.height; v += 0.11)
    sheet.line(
      [
        [0, v],
        [sheet.width, v + stage.chance.between(-0.01, 0.01)],
      ],
      0.004,
      { colour: hex('#87978f'), opacity: 0.5 },
    );
  sheet.finish(-6);
}
