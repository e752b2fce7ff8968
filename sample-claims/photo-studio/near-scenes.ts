import { desk } from './desks.js';
import { type ControlPlan, controlBox, handset, supply } from './electrics.js';
import { STEEL } from './finishes.js';
import { railPiece, weld } from './metalwork.js';
import { bolt, laidOut, leg } from './small-parts.js';
import { motor } from './motors.js';
import { hex } from './paint.js';
import { room } from './rooms.js';
import { type Scene, scene } from './scenes.js';
import { box, rail } from './solids.js';
import type { CameraPlan, Point } from './space.js';
import type { Stage } from './stage.js';

const NEAR: CameraPlan = { eye: [0.05, -0.4, 0.36], at: [0, 0.02, 0.025], view: 42, roll: 2 };

export const motorClose = (torn: boolean): Scene =>
  onFloor({ eye: [-0.06, -0.52, 0.36], at: [0.02, 0, 0.03], view: 44, roll: -2 }, (stage) =>
    motor(stage, [-0.02, 0.04, 0], torn),
  );

export const controlClose = (plan: ControlPlan): Scene =>
  onFloor({ ...NEAR, eye: [0.08, -0.44, 0.36] }, (stage) => controlBox(stage, [0.02, 0.08, 0], plan));

export const batteryClose = (): Scene =>
  onFloor({ ...NEAR, view: 38 }, (stage) => supply(stage, [0, 0.03, 0], { kind: 'battery', crushed: true }));

export const weldClose = (): Scene =>
  onFloor({ eye: [-0.14, -0.36, 0.34], at: [0.01, -0.03, 0.06], view: 32, roll: 1 }, (stage) =>
    weld(stage, [0, 0, 0], true),
  );

export const railClose = (harm: 'bent' | 'scratched' | 'dented'): Scene =>
  onFloor({ eye: [-0.16, -0.5, 0.34], at: [0.01, 0.04, 0.04], view: 40, roll: -1 }, (stage) =>
    railPiece(stage, [0, 0.05, 0], harm),
  );

export const legClose = (harm: 'bent' | 'stripped'): Scene =>
  onFloor({ eye: [-0.06, -0.34, 0.32], at: [-0.01, 0.03, 0.02], view: 42, roll: 2 }, (stage) =>
    leg(stage, [0, 0.02, 0], harm),
  );

/** A handset beside its supply. @param shows what the handset displays; null is a dark one */
export function handsetClose(light: 'on' | 'off', shows: string | null): Scene {
  return onFloor({ eye: [0.02, -0.44, 0.42], at: [0.01, 0.02, 0.02], view: 42, roll: 1 }, (stage) => {
    supply(stage, [-0.12, 0.06, 0], { kind: 'supply', light });
    handset(stage, [0.15, -0.06, 0], shows === null ? { lit: false } : { lit: true, shows });
  });
}

/** Parts counted on the floor, one place empty. */
export const counted = (pieces: number, gap: number | null, what: 'legs' | 'bags'): Scene =>
  onFloor({ eye: [0.04, -0.42, 0.6], at: [0, 0.03, 0], view: pieces > 4 ? 50 : 42, roll: 1 }, (stage) =>
    laidOut(stage, [0, 0.04, 0], pieces, gap, what),
  );

/** Foam with the empty place where a box should lie. */
export function emptyPlace(words: string): Scene {
  return onFloor({ eye: [0.06, -0.45, 0.62], at: [0, 0.06, 0], view: 44, roll: -3 }, (stage) => {
    const { top } = box(
      stage,
      [0.62, 0.44, 0.08],
      { at: [0, 0.08, 0], turn: 7 },
      { colour: hex('#e9e6de'), edge: hex('#ffffff') },
      { shadow: true },
    );
    if (!top) return;
    for (const [u, w] of [
      [0.06, 0.2],
      [0.36, 0.2],
    ] as const) {
      top.rectangle(u, 0.1, w, 0.24, { colour: hex('#8f8b80') });
      top.rectangle(u + 0.012, 0.118, w - 0.012, 0.222, { colour: hex('#c4c0b5') });
      top.rectangle(u + 0.012, 0.118, w - 0.012, 0.03, { colour: hex('#a29e92'), opacity: 0.8 });
    }
    top.text(words, 0.075, 0.05, 0.018, { colour: [90, 88, 80] });
    for (let i = 0; i < 240; i += 1)
      top.ellipse(stage.chance.between(0.01, 0.61), stage.chance.between(0.01, 0.43), 0.0024, 0.002, {
        colour: hex('#bdb9ad'),
        opacity: 0.55,
      });
    top.finish(0.03);
  });
}

/** A knife cut across cloth or a cover, near. */
export function cutClose(colour: string): Scene {
  return onFloor({ eye: [0.1, -0.42, 0.5], at: [0.02, 0.05, 0.06], view: 46, roll: -6 }, (stage) => {
    const { top } = box(
      stage,
      [0.95, 0.5, 0.06],
      { at: [0.02, 0.1, 0], turn: -4 },
      { colour: hex(colour), edge: hex('#9a9ba0') },
      { shadow: true },
    );
    if (!top) return;
    const [w, d] = [top.width, top.height];
    for (let u = 0.004; u < w; u += 0.009)
      top.line(
        [
          [u, 0],
          [u, d],
        ],
        0.0024,
        { colour: [20, 20, 24], opacity: 0.15 },
      );
    for (let v = 0.004; v < d; v += 0.009)
      top.line(
        [
          [0, v],
          [w, v],
        ],
        0.0024,
        { colour: [235, 235, 240], opacity: 0.09 },
      );
    for (let v = 0.12; v < d; v += 0.25)
      top.line(
        [
          [0, v],
          [w, v],
        ],
        0.004,
        { colour: [16, 16, 18], opacity: 0.5 },
      );
    const lip = (k: number): Point[] => [
      [0.3, 0.27],
      [0.4, 0.27 - 0.016 * k],
      [0.52, 0.272 - 0.021 * k],
      [0.62, 0.276 - 0.014 * k],
      [0.7, 0.28],
      [0.62, 0.284 + 0.012 * k],
      [0.5, 0.28 + 0.02 * k],
      [0.4, 0.276 + 0.014 * k],
    ];
    top.area(lip(1.5), { colour: [14, 14, 16], opacity: 0.5, blur: 0.006 });
    top.area(lip(1), { colour: [12, 11, 11] });
    top.area(lip(0.62), { colour: hex('#d8d1bc') });
    top.line(
      [
        [0.28, 0.269],
        [0.4, 0.254],
        [0.52, 0.251],
        [0.62, 0.262],
        [0.72, 0.281],
      ],
      0.0022,
      { colour: [205, 206, 212], opacity: 0.85 },
    );
    for (let i = 0; i < 34; i += 1) {
      const u = stage.chance.between(0.33, 0.67);
      top.line(
        [
          [u, 0.256 + stage.chance.between(0, 0.04)],
          [u + stage.chance.between(-0.012, 0.012), 0.276 + stage.chance.between(-0.03, 0.03)],
        ],
        0.0012,
        { colour: hex(colour), opacity: 0.9 },
      );
    }
    top.finish(0.03);
  });
}

/** The near foot of a desk, bent upwards. */
export const footClose = (): Scene =>
  scene({ eye: [-1.1, 0.05, 0.55], at: [-0.6, 0.95, 0.08], view: 40, roll: -2 }, 2, (stage, at) => {
    room(stage, at);
    desk(stage, { at: [0, 1.15, 0], turn: 4, bentFoot: true, height: 0.7 });
  });

/** A bolt on the floor whose thread is stripped, with its filings. */
export const boltClose = (): Scene =>
  onFloor({ eye: [-0.03, -0.2, 0.19], at: [0, 0.015, 0.01], view: 40, roll: 2 }, (stage) =>
    bolt(stage, [0.02, 0.02, 0]),
  );

/** A measuring tape across a frame corner. */
export function tapeAcross(reads: string): Scene {
  return onFloor({ eye: [-0.1, -0.5, 0.5], at: [0.02, 0.05, 0.05], view: 42, roll: 1 }, (stage) => {
    rail(
      stage,
      [
        [-0.7, 0.22, 0.04],
        [0.7, 0.22, 0.04],
      ],
      [0.06, 0.08],
      STEEL,
    );
    rail(
      stage,
      [
        [0.3, 0.19, 0.04],
        [0.3, -0.6, 0.04],
      ],
      [0.06, 0.08],
      STEEL,
    );
    const tape = stage.panel([-0.5, -0.12, 0.084], [0.86, 0.36, 0], [0.012, -0.028, 0]);
    if (!tape) return;
    tape.rectangle(0, 0, tape.width, tape.height, { colour: hex('#f0c93a') });
    for (let i = 0; i < 92; i += 1)
      tape.line(
        [
          [i * 0.01, 0],
          [i * 0.01, i % 10 === 0 ? 0.02 : i % 5 === 0 ? 0.012 : 0.007],
        ],
        0.0009,
        { colour: [30, 26, 20] },
      );
    for (let i = 1; i < 9; i += 1) tape.text(`${i}`, i * 0.1 + 0.004, 0.014, 0.011, { colour: [160, 24, 24] });
    tape.finish(0.3);
    const note = stage.panel([-0.16, -0.02, 0.003], [0.19, -0.02, 0], [-0.012, -0.09, 0]);
    if (!note) return;
    note.rectangle(0, 0, note.width, note.height, { colour: hex('#f6ef9e') });
    note.text(reads, 0.012, 0.03, 0.021, { colour: [28, 44, 140] }, { slant: 0.6, shake: 0.03 });
    note.finish();
  });
}

export function onFloor(camera: CameraPlan, draw: (stage: Stage) => void): Scene {
  return scene(camera, 0.6, (stage, at) => {
    room(stage, at);
    draw(stage);
  });
}
