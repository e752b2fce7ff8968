import { BOARD, BOARD_INSIDE, type CartonPlan } from './carton-plan.js';
import { crumple, stain } from './carton-harm.js';
import { ageing, frontPrint, sidePrint, topPrint } from './carton-print.js';
import { dim, hex } from './paint.js';
import { box } from './solids.js';
import { type Vec, cross, minus, placed, unit } from './space.js';
import type { Material, Stage } from './stage.js';

/** A closed carton with print, tape, label, indicators and whatever happened to it. */
export function carton(stage: Stage, plan: CartonPlan): void {
  const [w, d, h] = plan.size;
  const board: Material = { colour: BOARD, texture: fibres(stage), edge: hex('#e8c99a') };
  const p = (x: number, y: number, z: number): Vec => placed([x - w / 2, y - d / 2, z], plan.turn ?? 0, plan.at);
  const corners = [0, w].flatMap((x) => [0, d].flatMap((y) => [0, h].map((z) => p(x, y, z))));
  stage.shadow(corners, 0.5, 0.07);
  const s = plan.corner?.deep ?? 0;
  const left = plan.corner?.side === 'left';
  const right = plan.corner?.side === 'right';
  const outline = {
    front: [
      ...(left ? [p(0, 0, h - s), p(s * 1.25, 0, h)] : [p(0, 0, h)]),
      ...(right ? [p(w - s * 1.25, 0, h), p(w, 0, h - s)] : [p(w, 0, h)]),
      p(w, 0, 0),
      p(0, 0, 0),
    ],
    left: [p(0, d, h), ...(left ? [p(0, s, h), p(0, 0, h - s)] : [p(0, 0, h)]), p(0, 0, 0), p(0, d, 0)],
    right: [...(right ? [p(w, 0, h - s), p(w, s, h)] : [p(w, 0, h)]), p(w, d, h), p(w, d, 0), p(w, 0, 0)],
    top: [
      p(0, d, h),
      p(w, d, h),
      ...(right ? [p(w, s, h), p(w - s * 1.25, 0, h)] : [p(w, 0, h)]),
      ...(left ? [p(s * 1.25, 0, h), p(0, s, h)] : [p(0, 0, h)]),
    ],
  };
  const panels = {
    front: stage.panel(p(0, 0, h), minus(p(w, 0, h), p(0, 0, h)), minus(p(0, 0, 0), p(0, 0, h))),
    left: stage.panel(p(0, d, h), minus(p(0, 0, h), p(0, d, h)), minus(p(0, d, 0), p(0, d, h))),
    right: stage.panel(p(w, 0, h), minus(p(w, d, h), p(w, 0, h)), minus(p(w, 0, 0), p(w, 0, h))),
    top: stage.panel(p(0, d, h), minus(p(w, d, h), p(0, d, h)), minus(p(0, 0, h), p(0, d, h))),
  };
  const normals = {
    front: unit(minus(p(0, 0, 0), p(0, 1, 0))),
    left: unit(minus(p(0, 0, 0), p(1, 0, 0))),
    right: unit(minus(p(1, 0, 0), p(0, 0, 0))),
    top: [0, 0, 1] as Vec,
  };
  for (const side of ['front', 'left', 'right', 'top'] as const) {
    stage.face(outline[side], normals[side], board);
    const panel = panels[side];
    if (!panel) continue;
    ageing(panel, stage);
    if (side === 'top') topPrint(panel, plan);
    if (side === 'front') frontPrint(panel, plan, stage);
    if (side === 'left' || side === 'right') sidePrint(panel, plan);
    if (plan.wet === 'below' && side !== 'top') stain(panel, stage, true);
    if (plan.wet === 'above' && side === 'top') stain(panel, stage, false);
    panel.finish(0.09, outline[side]);
  }
  if (plan.corner)
    crumple(
      stage,
      board,
      [
        p(left ? 0 : w, 0, h),
        p(left ? s * 1.25 : w - s * 1.25, 0, h),
        p(left ? 0 : w, s, h),
        p(left ? 0 : w, 0, h - s),
      ],
      p(w / 2, d / 2, h / 2),
    );
}

/** Fine fibres of paper, as a pattern to lay over a face. */
function fibres(stage: Stage): string {
  const line = (): string => {
    const [x, y, a] = [stage.chance.between(0, 260), stage.chance.between(0, 260), stage.chance.between(-0.25, 0.25)];
    const long = stage.chance.between(4, 18);
    const tone = stage.chance.next() < 0.55 ? '#5d3f1f' : '#f3d9ae';
    return `<path d="M${x.toFixed(0)} ${y.toFixed(0)}l${(long * Math.cos(a)).toFixed(1)} ${(long * Math.sin(a)).toFixed(1)}" stroke="${tone}" stroke-opacity="${stage.chance.between(0.05, 0.17).toFixed(2)}"/>`;
  };
  return stage.define(
    (id) =>
      `<pattern id="${id}" width="260" height="260" patternUnits="userSpaceOnUse">${Array.from({ length: 230 }, line).join('')}</pattern>`,
  );
}

/** The lower half of an opened carton with its flaps folded out; `inside` draws what lies in it. */
export function openCarton(
  stage: Stage,
  size: Vec,
  at: Vec,
  turn: number,
  foam: { readonly broken?: boolean; readonly missing?: boolean } = {},
): void {
  const [w, d, h] = size;
  const board: Material = { colour: BOARD, texture: fibres(stage), edge: hex('#e8c99a') };
  const inner: Material = { colour: BOARD_INSIDE, edge: hex('#e8c99a') };
  const p = (x: number, y: number, z: number): Vec => placed([x - w / 2, y - d / 2, z], turn, at);
  stage.shadow(
    [p(0, 0, 0), p(w, 0, 0), p(w, d, 0), p(0, d, 0), p(0, 0, h), p(w, 0, h), p(w, d, h), p(0, d, h)],
    0.5,
    0.06,
  );
  const sheet = (points: readonly Vec[], material: Material, bias = 0): void => {
    const [a, b, , e] = points;
    if (a && b && e) stage.face(points, unit(cross(minus(e, a), minus(b, a))), material, { twoSided: true, bias });
  };
  sheet([p(0, 0, 0.01), p(w, 0, 0.01), p(w, d, 0.01), p(0, d, 0.01)], { colour: dim(BOARD_INSIDE, 0.62) }, -0.4);
  sheet([p(0, d, h), p(w, d, h), p(w, d, 0), p(0, d, 0)], inner, -0.2);
  sheet([p(0, d, h), p(0, 0, h), p(0, 0, 0), p(0, d, 0)], inner, -0.12);
  sheet([p(w, 0, h), p(w, d, h), p(w, d, 0), p(w, 0, 0)], inner, -0.12);
  sheet([p(0, 0, h), p(w, 0, h), p(w, 0, 0), p(0, 0, 0)], board, 0.1);
  const flap = d * 0.46;
  sheet([p(0, 0, h), p(w, 0, h), p(w, -flap * 0.75, h - flap * 0.6), p(0, -flap * 0.75, h - flap * 0.6)], inner, 0.3);
  sheet(
    [p(0, d, h), p(w, d, h), p(w, d + flap * 0.5, h + flap * 0.62), p(0, d + flap * 0.5, h + flap * 0.62)],
    inner,
    -0.3,
  );
  for (const [x, far] of [
    [0, -1],
    [w, 1],
  ] as const)
    sheet(
      [
        p(x, 0, h),
        p(x, d, h),
        p(x + far * flap * 0.6, d, h - flap * 0.35),
        p(x + far * flap * 0.6, 0, h - flap * 0.35),
      ],
      inner,
      0.05,
    );
  if (!foam.missing)
    for (const [x, y] of [
      [0.1, 0.1],
      [w - 0.1, 0.1],
      [0.1, d - 0.1],
      [w - 0.1, d - 0.1],
    ] as const) {
      const broken = foam.broken === true && x > w / 2;
      box(
        stage,
        [0.16, 0.16, broken ? h * 0.45 : h * 0.86],
        { at: p(x, y, 0.02), turn: turn + (broken ? 25 : 0) },
        { colour: hex('#ece9e2'), edge: hex('#ffffff') },
      );
      if (broken)
        for (let i = 0; i < 7; i += 1)
          box(
            stage,
            [stage.chance.between(0.02, 0.06), stage.chance.between(0.02, 0.05), stage.chance.between(0.015, 0.04)],
            {
              at: p(x + stage.chance.between(-0.18, 0.05), y + stage.chance.between(-0.05, 0.2), 0.02),
              turn: stage.chance.between(0, 90),
            },
            { colour: hex('#f3f1ec') },
          );
    }
}
