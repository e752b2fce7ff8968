import { CORD, PLASTIC } from './finishes.js';
import { type Colour, dim, hex } from './paint.js';
import { box, cable, cushion } from './solids.js';
import type { Point, Vec } from './space.js';
import type { Stage } from './stage.js';

const LIGHT_ON: Colour = [88, 230, 120];

const LIGHT_OFF: Colour = [58, 62, 58];

export interface ControlPlan {
  readonly water?: boolean;
  readonly cracked?: boolean;
  readonly loosePlug?: boolean;
  readonly light: 'on' | 'off';
  readonly title?: string;
}

/** A control box with its sockets, label and light, closed as it must stay. */
export function controlBox(stage: Stage, at: Vec, plan: ControlPlan): void {
  const [x, y, z] = at;
  const sides = box(
    stage,
    [0.3, 0.15, 0.055],
    { at, turn: -6 },
    { colour: hex('#33353a'), gloss: 0.4, edge: hex('#7d8087') },
    { shadow: true },
  );
  const { top, front } = sides;
  if (top) {
    top.rectangle(0.012, 0.02, 0.15, 0.085, { colour: hex('#e9e9e5') });
    top.text(plan.title ?? 'CONTROL BOX', 0.02, 0.03, 0.012, { colour: [30, 30, 34] }, { bold: 0.16 });
    top.text('IN 29 V  OUT 3 X 24 V', 0.02, 0.053, 0.0075, { colour: [30, 30, 34] });
    top.text('NO PARTS TO SERVE INSIDE', 0.02, 0.068, 0.0065, { colour: [30, 30, 34] });
    top.text('DO NOT OPEN', 0.02, 0.083, 0.0085, { colour: [170, 30, 30] }, { bold: 0.16 });
    lamp(top, 0.26, 0.035, plan.light);
    top.text('READY', 0.243, 0.05, 0.0075, { colour: [220, 220, 220] });
    if (plan.cracked) crack(top, stage, 0.2, 0.1);
    if (plan.water) drops(top, stage, 34);
    top.finish(0.03);
  }
  if (front) {
    for (let i = 0; i < 4; i += 1) {
      front.rectangle(0.03 + i * 0.066, 0.014, 0.04, 0.026, { colour: [12, 12, 14] });
      front.text(['M1', 'M2', 'HS', 'IN'][i] ?? '', 0.041 + i * 0.066, 0.043, 0.0075, { colour: [215, 215, 215] });
    }
    if (plan.water) drops(front, stage, 12);
    front.finish(0.03);
  }
  for (let i = 0; i < 4; i += 1) {
    const loose = plan.loosePlug === true && i === 1;
    const px = x - 0.105 + i * 0.066;
    const py = y - 0.085 - i * 0.007 - (loose ? 0.045 : 0);
    box(stage, [0.034, 0.035, 0.022], { at: [px, py, z + (loose ? 0.002 : 0.02)], turn: loose ? 20 : -6 }, PLASTIC, {
      bias: 0.05,
    });
    cable(
      stage,
      [
        [px, py - 0.017, z + (loose ? 0.012 : 0.03)],
        [px - 0.01, py - 0.07, z + 0.02],
        [px - 0.05 + i * 0.04, py - 0.15, z + 0.006],
        [px - 0.12 + i * 0.1, py - 0.32, z + 0.006],
      ],
      0.0085,
      CORD,
      0.08,
    );
  }
}

/** A power supply or sealed battery: whole, crushed or swollen. */
export function supply(
  stage: Stage,
  at: Vec,
  plan: { readonly kind: 'supply' | 'battery'; readonly crushed?: boolean; readonly light?: 'on' | 'off' },
): void {
  const [x, y, z] = at;
  const size: Vec = plan.kind === 'battery' ? [0.2, 0.12, 0.06] : [0.17, 0.08, 0.05];
  const body = { colour: hex(plan.kind === 'battery' ? '#3a3f48' : '#2d2e31'), gloss: 0.35, edge: hex('#7b7f88') };
  const { top, front } = box(stage, size, { at, turn: 9 }, body, { shadow: true });
  if (plan.kind === 'battery' && plan.crushed)
    cushion(
      stage,
      [size[0] * 0.8, size[1] * 0.8, 0.03],
      { at: [x - 0.01, y, z + size[2] - 0.012], turn: 9 },
      body,
      0.7,
      16,
    );
  if (top) {
    if (!(plan.kind === 'battery' && plan.crushed)) {
      top.rectangle(0.02, 0.014, size[0] * 0.62, size[1] * 0.64, { colour: hex('#e8e7e2') });
      top.text(
        plan.kind === 'battery' ? 'BATTERY BACKUP' : 'POWER SUPPLY',
        0.026,
        0.02,
        0.009,
        { colour: [30, 30, 34] },
        { bold: 0.16 },
      );
      top.text('OUT 29 V 2 A', 0.026, 0.036, 0.007, { colour: [30, 30, 34] });
      top.text('DO NOT OPEN', 0.026, 0.05, 0.007, { colour: [170, 30, 30] });
    }
    if (plan.light) lamp(top, size[0] * 0.87, size[1] * 0.3, plan.light);
    if (plan.crushed) crushMarks(top, stage, size[0], size[1]);
    top.finish(0.03);
  }
  if (front) {
    if (plan.kind === 'battery') front.text('SEALED - KEEP DRY', 0.02, 0.02, 0.01, { colour: [214, 214, 214] });
    if (plan.crushed) crushMarks(front, stage, size[0], 0.02);
    front.finish(0.03);
  }
  cable(
    stage,
    [
      [x - size[0] / 2, y - 0.01, z + 0.025],
      [x - 0.16, y - 0.06, z + 0.01],
      [x - 0.3, y - 0.02, z + 0.006],
      [x - 0.5, y - 0.12, z + 0.006],
    ],
    0.0085,
    CORD,
    0.02,
  );
  cable(
    stage,
    [
      [x + size[0] / 2, y + 0.015, z + 0.025],
      [x + 0.16, y + 0.05, z + 0.01],
      [x + 0.3, y - 0.02, z + 0.006],
      [x + 0.5, y + 0.06, z + 0.006],
    ],
    0.0085,
    CORD,
    0.02,
  );
}

/** A handset with its keys; dark or lit, with a height shown on desks. */
export function handset(stage: Stage, at: Vec, plan: { readonly lit: boolean; readonly shows?: string }): void {
  const { top } = box(
    stage,
    [0.075, 0.19, 0.022],
    { at, turn: 14 },
    { colour: hex('#232427'), gloss: 0.4, edge: hex('#6e7177') },
    { shadow: true },
  );
  const [x, y, z] = at;
  cable(
    stage,
    [
      [x - 0.023, y + 0.09, z + 0.012],
      [x - 0.04, y + 0.16, z + 0.01],
      [x + 0.06, y + 0.26, z + 0.006],
      [x + 0.2, y + 0.3, z + 0.006],
    ],
    0.007,
    CORD,
    0.02,
  );
  if (!top) return;
  const ink: Colour = plan.lit ? [120, 235, 255] : [96, 98, 102];
  top.rectangle(0.012, 0.014, 0.051, 0.03, { colour: plan.lit ? [16, 40, 52] : [15, 15, 17] });
  if (plan.lit) top.text(plan.shows ?? 'OK', 0.019, 0.02, 0.017, { colour: ink }, { bold: 0.15 });
  for (let row = 0; row < 4; row += 1)
    for (const u of [0.021, 0.054]) {
      top.ellipse(u, 0.066 + row * 0.031, 0.0115, 0.0115, { colour: [52, 54, 58] });
      const up = u < 0.03;
      const v = 0.066 + row * 0.031;
      const arrow: Point[] = up
        ? [
            [u, v - 0.006],
            [u + 0.006, v + 0.004],
            [u - 0.006, v + 0.004],
          ]
        : [
            [u, v + 0.006],
            [u + 0.006, v - 0.004],
            [u - 0.006, v - 0.004],
          ];
      top.area(arrow, { colour: ink });
    }
  top.finish(0.03);
}

function lamp(
  panel: {
    ellipse: (
      u: number,
      v: number,
      a: number,
      b: number,
      ink: { colour: Colour; opacity?: number; blur?: number },
    ) => void;
  },
  u: number,
  v: number,
  light: 'on' | 'off',
): void {
  if (light === 'on') panel.ellipse(u, v, 0.014, 0.014, { colour: LIGHT_ON, opacity: 0.55, blur: 0.005 });
  panel.ellipse(u, v, 0.005, 0.005, { colour: light === 'on' ? LIGHT_ON : LIGHT_OFF });
  panel.ellipse(u - 0.0015, v - 0.0015, 0.0014, 0.0014, { colour: [255, 255, 255], opacity: 0.7 });
}

type Markable = NonNullable<ReturnType<Stage['panel']>>;

function crack(panel: Markable, stage: Stage, u: number, v: number): void {
  const run = Array.from({ length: 9 }, (_, i): Point => [
    u + i * 0.011,
    v - i * 0.008 + stage.chance.between(-0.005, 0.005),
  ]);
  panel.line(run, 0.0022, { colour: [5, 5, 6] });
  panel.line(
    run.slice(3, 6).map(([a, b], i): Point => [a + i * 0.004, b + i * 0.013]),
    0.0016,
    { colour: [5, 5, 6] },
  );
  panel.line(
    run.map(([a, b]): Point => [a + 0.001, b + 0.0015]),
    0.0008,
    { colour: [170, 172, 178], opacity: 0.7 },
  );
}

function drops(panel: Markable, stage: Stage, count: number): void {
  for (let i = 0; i < count; i += 1) {
    const [u, v, r] = [
      stage.chance.between(0.01, panel.width - 0.01),
      stage.chance.between(0.004, panel.height - 0.004),
      stage.chance.between(0.0018, 0.0062),
    ];
    panel.ellipse(u, v, r, r * 0.8, { colour: [14, 16, 20], opacity: 0.5 });
    panel.ellipse(u + r * 0.12, v + r * 0.2, r * 0.75, r * 0.5, { colour: [150, 170, 185], opacity: 0.45 });
    panel.ellipse(u - r * 0.3, v - r * 0.25, r * 0.22, r * 0.18, { colour: [255, 255, 255], opacity: 0.9 });
  }
}

function crushMarks(panel: Markable, stage: Stage, u: number, v: number): void {
  panel.area(panel.blob(u - 0.016, v - 0.008, 0.05, 0.032, 0.25), { colour: [6, 6, 8], opacity: 0.75 });
  for (let i = 0; i < 8; i += 1) {
    const a = Math.PI * (0.5 + (i / 8) * 1.2) + stage.chance.between(-0.2, 0.2);
    const run: Point[] = [
      [u - 0.01, v - 0.006],
      [u - 0.01 + Math.cos(a) * 0.03, v + Math.sin(a) * 0.02],
      [u - 0.012 + Math.cos(a) * stage.chance.between(0.05, 0.09), v + Math.sin(a) * stage.chance.between(0.03, 0.06)],
    ];
    panel.line(run, 0.0022, { colour: dim([170, 174, 182], stage.chance.between(0.7, 1.2)), opacity: 0.85 });
  }
}
