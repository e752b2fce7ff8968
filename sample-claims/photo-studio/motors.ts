import { BRIGHT, CORD, PLASTIC, STEEL } from './finishes.js';
import { type Colour, hex } from './paint.js';
import { cable, cushion, rod } from './solids.js';
import type { Vec } from './space.js';
import type { Stage } from './stage.js';

/** A motor with its gear housing; the lead is whole or torn with bare strands. */
export function motor(stage: Stage, at: Vec, torn: boolean): void {
  const [x, y, z] = at;
  stage.shadow(
    [
      [x - 0.05, y - 0.06, z],
      [x + 0.42, y - 0.06, z],
      [x + 0.42, y + 0.06, z],
      [x - 0.05, y + 0.06, z],
    ],
    0.5,
    0.03,
  );
  rod(
    stage,
    [
      [x + 0.05, y, z + 0.05],
      [x + 0.34, y, z + 0.05],
    ],
    0.026,
    STEEL,
    28,
  );
  rod(
    stage,
    [
      [x + 0.34, y, z + 0.05],
      [x + 0.5, y, z + 0.05],
    ],
    0.017,
    BRIGHT,
    24,
  );
  cushion(stage, [0.12, 0.11, 0.1], { at: [x, y, z] }, PLASTIC, 0.4);
  rod(
    stage,
    [
      [x, y - 0.02, z + 0.05],
      [x, y - 0.17, z + 0.05],
    ],
    0.036,
    { colour: hex('#4a4c51'), gloss: 0.8 },
    28,
  );
  const sticker = stage.panel([x + 0.1, y - 0.0285, z + 0.062], [0.13, 0, 0], [0, 0.004, -0.028]);
  if (sticker) {
    sticker.rectangle(0, 0, 0.13, 0.028, { colour: hex('#e8e8e4') });
    sticker.text('LIFT MOTOR 24 V', 0.006, 0.005, 0.007, { colour: [30, 30, 34] });
    sticker.text('DUTY 2 MIN ON 18 OFF', 0.006, 0.016, 0.006, { colour: [30, 30, 34] });
    sticker.finish(0.1);
  }
  if (!torn) {
    cable(
      stage,
      [
        [x - 0.03, y - 0.1, z + 0.07],
        [x - 0.12, y - 0.14, z + 0.06],
        [x - 0.25, y - 0.05, z + 0.008],
        [x - 0.5, y + 0.05, z + 0.008],
      ],
      0.011,
      CORD,
      0.1,
    );
    return;
  }
  const end: Vec = [x - 0.16, y - 0.17, z + 0.012];
  const other: Vec = [x - 0.24, y - 0.2, z + 0.01];
  cable(
    stage,
    [[x - 0.03, y - 0.1, z + 0.07], [x - 0.08, y - 0.15, z + 0.05], [x - 0.12, y - 0.165, z + 0.02], end],
    0.012,
    CORD,
    0.1,
  );
  cable(
    stage,
    [other, [x - 0.3, y - 0.2, z + 0.01], [x - 0.42, y - 0.1, z + 0.008], [x - 0.6, y - 0.02, z + 0.008]],
    0.012,
    CORD,
    0.1,
  );
  for (const [from, way, insulation] of [
    [end, -1, '#b3241f'],
    [end, -1, '#1f1f1f'],
    [other, 1, '#b3241f'],
    [other, 1, '#1f1f1f'],
  ] as const)
    strands(stage, from, way, hex(insulation));
}

/** Torn ends of one core: insulation, then copper. */
function strands(stage: Stage, from: Vec, way: number, insulation: Colour): void {
  const lean = stage.chance.between(-0.02, 0.02);
  const mid: Vec = [from[0] + way * 0.018, from[1] + lean, from[2] + 0.006];
  cable(stage, [from, mid], 0.0055, { colour: insulation }, 0.14);
  for (let i = 0; i < 7; i += 1) {
    const tip: Vec = [
      mid[0] + way * stage.chance.between(0.008, 0.02),
      mid[1] + lean * 0.4 + stage.chance.between(-0.009, 0.009),
      mid[2] + stage.chance.between(-0.005, 0.012),
    ];
    cable(stage, [mid, tip], 0.0012, { colour: hex('#d98a4a') }, 0.16);
  }
}
