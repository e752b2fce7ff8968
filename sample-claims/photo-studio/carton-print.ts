import { DARK, PRINT, TAPE, type CartonPlan } from './carton-plan.js';
import { dent, hole } from './carton-harm.js';
import { hex } from './paint.js';
import type { Panel } from './panel.js';
import { cartonLabel, indicator } from './papers.js';
import type { Point } from './space.js';
import type { Stage } from './stage.js';

/** Scuffs, rubbed edges and the darker foot that every travelled carton has. */
export function ageing(panel: Panel, stage: Stage): void {
  const { chance } = stage;
  const { width: w, height: h } = panel;
  panel.rectangle(0, h * 0.55, w, h * 0.45, { colour: DARK, opacity: 0.1, blur: h * 0.12 });
  for (let i = 0; i < 7; i += 1) {
    const [u, v] = [chance.between(0, w), chance.between(0, h)];
    const a = chance.between(-0.5, 0.5);
    const long = chance.between(0.03, 0.16);
    panel.line(
      [
        [u, v],
        [u + long * Math.cos(a), v + long * Math.sin(a)],
      ],
      chance.between(0.001, 0.004),
      { colour: chance.next() < 0.6 ? hex('#e6cda3') : DARK, opacity: 0.28 },
    );
  }
  for (let v = 0.012; v < h; v += 0.024)
    panel.line(
      [
        [0, v],
        [w, v],
      ],
      0.0016,
      { colour: DARK, opacity: 0.035 },
    );
}

export function frontPrint(panel: Panel, plan: CartonPlan, stage: Stage): void {
  const { width: w, height: h } = panel;
  const big = Math.min(h * 0.2, (w * 0.62) / plan.brand.length);
  panel.text(plan.brand, w * 0.07, h * 0.12, big, { colour: PRINT, opacity: 0.82 }, { bold: 0.16 });
  panel.text(plan.product, w * 0.07, h * 0.12 + big * 1.5, big * 0.42, { colour: PRINT, opacity: 0.8 });
  panel.text(plan.mass, w * 0.07, h * 0.12 + big * 2.3, big * 0.42, { colour: PRINT, opacity: 0.8 });
  const sign = Math.min(h * 0.24, w * 0.1);
  thisWayUp(panel, w * 0.06, h * 0.92 - sign, sign);
  twoPeople(panel, w * 0.06 + sign * 1.35, h * 0.92 - sign, sign);
  if (plan.label !== undefined) cartonLabel(panel, w * 0.6, h * 0.12, Math.min(w * 0.34, h * 0.75 * 1.45), plan.label);
  const size = Math.min(0.13, h * 0.3, w * 0.11);
  if (plan.impact) indicator(panel, w * 0.48, h * 0.62, size, 'impact', plan.impact);
  if (plan.tilt) indicator(panel, w * 0.48 - size * 1.2, h * 0.62, size, 'tilt', plan.tilt);
  if (plan.dent) dent(panel, stage, w * 0.55, h * 0.5);
  if (plan.hole === 'low') hole(panel, stage, w * 0.4, h * 0.8, 0.075, true);
  if (plan.hole === 'high') hole(panel, stage, w * 0.45, h * 0.42, 0.06, false);
  if (plan.corner) {
    const from = plan.corner.side === 'left' ? 0 : w;
    const inward = plan.corner.side === 'left' ? 1 : -1;
    for (let i = 0; i < 6; i += 1) {
      const s = plan.corner.deep;
      const u = from + inward * s * stage.chance.between(0.3, 1.2);
      const v = s * stage.chance.between(0.2, 1);
      const run: Point[] = [
        [u, v],
        [u + inward * s * stage.chance.between(0.3, 0.7), v + s * stage.chance.between(0.1, 0.5)],
        [u + inward * s * stage.chance.between(0.7, 1.4), v + s * stage.chance.between(0.5, 1.1)],
      ];
      panel.line(run, 0.005, { colour: DARK, opacity: 0.4 });
      panel.line(
        run.map(([a, b]): Point => [a + 0.005, b + 0.004]),
        0.0035,
        { colour: hex('#f2d9ae'), opacity: 0.45 },
      );
    }
  }
}

export function sidePrint(panel: Panel, plan: CartonPlan): void {
  const { width: w, height: h } = panel;
  const tall = Math.min(h * 0.16, (w * 0.8) / Math.max(6, plan.brand.length));
  panel.text(plan.brand, w * 0.1, h * 0.16, tall, { colour: PRINT, opacity: 0.75 }, { bold: 0.16 });
  thisWayUp(panel, w * 0.1, h * 0.6, h * 0.26);
}

export function topPrint(panel: Panel, plan: CartonPlan): void {
  const { width: w, height: h } = panel;
  const mid = h / 2;
  panel.line(
    [
      [0, mid],
      [w, mid],
    ],
    0.004,
    { colour: DARK, opacity: 0.75 },
  );
  panel.rectangle(0, mid - 0.036, w, 0.072, { colour: TAPE, opacity: 0.62 });
  panel.line(
    [
      [0, mid - 0.036],
      [w, mid - 0.036],
    ],
    0.0015,
    { colour: hex('#fff2cf'), opacity: 0.5 },
  );
  panel.rectangle(0, mid - 0.02, w, 0.008, { colour: hex('#ffffff'), opacity: 0.22 });
  if (plan.taped) {
    panel.rectangle(w * 0.02, mid - 0.052, w * 0.7, 0.05, { colour: hex('#e7e2d2'), opacity: 0.8 }, 2.2);
    panel.rectangle(w * 0.38, mid - 0.03, w * 0.6, 0.05, { colour: hex('#e7e2d2'), opacity: 0.8 }, -3);
    panel.rectangle(w * 0.47, mid - 0.09, 0.05, 0.2, { colour: hex('#e7e2d2'), opacity: 0.75 }, 8);
    for (let i = 0; i < 9; i += 1)
      panel.line(
        [
          [w * (0.05 + i * 0.1), mid - 0.045],
          [w * (0.08 + i * 0.1), mid - 0.005],
        ],
        0.002,
        { colour: hex('#8f8a78'), opacity: 0.5 },
      );
    panel.area(panel.blob(w * 0.3, mid + 0.055, 0.06, 0.014, 0.4), { colour: hex('#dcc197'), opacity: 0.9 });
  }
  if (plan.cut) {
    panel.line(
      [
        [w * 0.04, mid - 0.004],
        [w * 0.5, mid + 0.004],
        [w * 0.97, mid - 0.003],
      ],
      0.009,
      { colour: [16, 10, 6], opacity: 0.95 },
    );
    panel.line(
      [
        [w * 0.04, mid - 0.011],
        [w * 0.5, mid - 0.003],
        [w * 0.97, mid - 0.01],
      ],
      0.003,
      { colour: hex('#f6e3bd'), opacity: 0.8 },
    );
  }
}

function thisWayUp(panel: Panel, u: number, v: number, tall: number): void {
  const ink = { colour: PRINT, opacity: 0.82 };
  for (const du of [0.08, 0.52]) {
    const x = u + du * tall;
    panel.area(
      [
        [x, v + tall * 0.34],
        [x + tall * 0.2, v],
        [x + tall * 0.4, v + tall * 0.34],
      ],
      ink,
    );
    panel.rectangle(x + tall * 0.13, v + tall * 0.33, tall * 0.14, tall * 0.5, ink);
  }
  panel.rectangle(u, v + tall * 0.9, tall, tall * 0.07, ink);
}

function twoPeople(panel: Panel, u: number, v: number, tall: number): void {
  const ink = { colour: PRINT, opacity: 0.82 };
  panel.rectangle(u + tall * 0.32, v + tall * 0.42, tall * 0.56, tall * 0.34, ink);
  for (const [x, lean] of [
    [0.12, 1],
    [1.08, -1],
  ] as const) {
    panel.ellipse(u + x * tall, v + tall * 0.12, tall * 0.09, tall * 0.09, ink);
    panel.line(
      [
        [u + x * tall, v + tall * 0.26],
        [u + x * tall, v + tall * 0.58],
        [u + (x - 0.05 * lean) * tall, v + tall * 0.95],
      ],
      tall * 0.09,
      ink,
    );
    panel.line(
      [
        [u + x * tall, v + tall * 0.32],
        [u + (x + 0.24 * lean) * tall, v + tall * 0.6],
      ],
      tall * 0.07,
      ink,
    );
  }
}
