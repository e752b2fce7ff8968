import { STEEL } from './finishes.js';
import { onFloor } from './near-scenes.js';
import { type Colour, hex } from './paint.js';
import { type ListLine, bars, packingList, plate, receipt } from './papers.js';
import { room } from './rooms.js';
import { type Scene, scene } from './scenes.js';
import { box, rail } from './solids.js';
import type { Vec } from './space.js';
import type { Stage } from './stage.js';

/** A sheet on the floor: packing list or receipt. */
export const list = (heading: string, lines: readonly ListLine[]): Scene =>
  paper([0.23, 0.32], (sheet) => packingList(sheet, heading, lines));

export const slip = (reference: string, words: readonly string[], carrier: string): Scene =>
  paper([0.2, 0.29], (sheet) => receipt(sheet, reference, words, carrier));

function paper(
  size: readonly [number, number],
  write: (sheet: NonNullable<ReturnType<Stage['panel']>>) => void,
): Scene {
  return onFloor({ eye: [0.03, -0.19, 0.44], at: [0, 0.015, 0], view: 46, roll: 3 }, (stage) => {
    const [w, h] = size;
    const corner: Vec = [-w / 2, h / 2 + 0.01, 0.003];
    stage.smudge(
      [
        [-w / 2, h / 2, 0],
        [w / 2, h / 2, 0],
        [w / 2 + 0.01, -h / 2 - 0.01, 0],
        [-w / 2 + 0.01, -h / 2 - 0.01, 0],
      ],
      0.45,
      0.01,
    );
    const sheet = stage.panel(corner, [w, 0.012, 0], [0.012, -h, 0]);
    if (!sheet) return;
    write(sheet);
    sheet.area(
      [
        [0, 0],
        [w * 0.5, 0],
        [w * 0.42, h],
        [0, h],
      ],
      { colour: [255, 255, 255], opacity: 0.12 },
    );
    sheet.line(
      [
        [0, h * 0.5],
        [w, h * 0.505],
      ],
      0.0012,
      { colour: [120, 116, 104], opacity: 0.35 },
    );
    sheet.finish();
  });
}

/** The maker's plate on a rail. */
export function plateClose(maker: string, sku: string, serial: string): Scene {
  return scene({ eye: [0.06, -0.3, 0.3], at: [0, 0.05, 0.1], view: 40, roll: 2 }, 3, (stage, at) => {
    room(stage, at);
    rail(
      stage,
      [
        [-0.8, 0.09, 0.1],
        [0.8, 0.09, 0.1],
      ],
      [0.07, 0.19],
      STEEL,
    );
    const panel = stage.panel([-0.115, 0.052, 0.175], [0.23, 0, 0], [0, 0, -0.15]);
    if (!panel) return;
    plate(panel, maker, sku, serial);
    panel.area(
      [
        [0.02, 0],
        [0.1, 0],
        [0.06, 0.15],
        [-0.02, 0.15],
      ],
      { colour: [255, 255, 255], opacity: 0.16 },
    );
    panel.finish(0.4);
  });
}

/** The logistics label alone, square enough to be read by a scanner. */
export function labelClose(content: string): Scene {
  return scene({ eye: [0.02, -0.42, 0.26], at: [0, 0.2, 0.19], view: 36, roll: 1 }, 3, (stage, at) => {
    room(stage, at);
    const side = box(
      stage,
      [1.3, 0.6, 0.42],
      { at: [0, 0.5, 0] },
      { colour: hex('#b88c5a'), edge: hex('#e8c99a') },
    ).front;
    if (!side) return;
    const ink: Colour = [24, 24, 28];
    side.rectangle(0.452, 0.086, 0.4, 0.28, { colour: [30, 20, 10], opacity: 0.4, blur: 0.005 });
    side.rectangle(0.45, 0.08, 0.4, 0.28, { colour: hex('#f5f3ee') });
    side.text('FROM: ZZ DISTRIBUTION DOCK 4', 0.468, 0.094, 0.013, { colour: ink });
    side.text('TO: HOME DELIVERY, 2 PERSONS', 0.468, 0.116, 0.013, { colour: ink });
    side.line(
      [
        [0.46, 0.14],
        [0.84, 0.14],
      ],
      0.0014,
      { colour: ink },
    );
    bars(side, content, 0.495, 0.158, 0.31, 0.14);
    side.text(content, 0.5, 0.316, 0.017, { colour: ink });
    side.finish(0.02);
  });
}
