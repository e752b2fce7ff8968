import { BRIGHT, PLASTIC, STEEL } from './finishes.js';
import { hex } from './paint.js';
import { cushion, rod } from './solids.js';
import type { Vec } from './space.js';
import type { Stage } from './stage.js';

/** A screw-in leg on the floor: bent, or with its thread stripped. */
export function leg(stage: Stage, at: Vec, harm: 'bent' | 'stripped' | 'none'): void {
  const [x, y, z] = at;
  const line: Vec[] =
    harm === 'bent'
      ? [
          [x - 0.14, y, z + 0.03],
          [x, y, z + 0.03],
          [x + 0.07, y + 0.035, z + 0.035],
          [x + 0.18, y + 0.14, z + 0.035],
        ]
      : [
          [x - 0.14, y, z + 0.03],
          [x + 0.18, y + 0.02, z + 0.03],
        ];
  stage.shadow(
    line.map(([a, b], i): Vec => [a, b + (i % 2 ? 0.03 : -0.03), z]),
    0.55,
    0.02,
  );
  rod(stage, line, (t) => 0.03 - 0.004 * t, STEEL, 30);
  const [fx, fy] = line.at(-1) ?? at;
  cushion(
    stage,
    [0.05, 0.05, 0.05],
    { at: [fx + 0.012, fy + (harm === 'bent' ? 0.012 : 0), z + 0.008] },
    PLASTIC,
    0.6,
    14,
  );
  rod(
    stage,
    [
      [x - 0.15, y, z + 0.03],
      [x - 0.14, y, z + 0.03],
    ],
    0.036,
    STEEL,
    30,
  );
  rod(
    stage,
    [
      [x - 0.21, y, z + 0.03],
      [x - 0.15, y, z + 0.03],
    ],
    0.0095,
    BRIGHT,
    18,
  );
  const stripped = harm === 'stripped';
  for (let i = 0; i < 10; i += 1) {
    const tx = x - 0.207 + i * 0.0058;
    const worn = stripped && i > 1 && i < 8;
    rod(
      stage,
      [
        [tx, y, z + 0.03],
        [tx + 0.002, y, z + 0.03],
      ],
      worn ? 0.0098 : 0.0118,
      worn ? { colour: hex('#d8d9db'), gloss: 1 } : { colour: hex('#7d8086'), gloss: 0.9 },
      18,
    );
  }
  if (stripped)
    for (let i = 0; i < 14; i += 1)
      cushion(
        stage,
        [0.006, 0.0025, 0.002],
        {
          at: [x - 0.18 + stage.chance.between(-0.05, 0.05), y + stage.chance.between(-0.06, 0.02), z],
          turn: stage.chance.between(0, 180),
        },
        { colour: hex('#c6c8cb'), gloss: 1 },
        0.8,
        6,
      );
}

/** A hexagon bolt, its thread stripped in the middle by too much force. */
export function bolt(stage: Stage, at: Vec, length = 0.11): void {
  const [x, y, z] = at;
  const steel = { colour: hex('#8f939a'), gloss: 1 };
  stage.shadow(
    [
      [x - 0.02, y - 0.014, z],
      [x + length, y - 0.01, z],
      [x + length, y + 0.01, z],
      [x - 0.02, y + 0.014, z],
    ],
    0.55,
    0.012,
  );
  rod(
    stage,
    [
      [x - 0.022, y, z + 0.016],
      [x - 0.006, y, z + 0.016],
    ],
    0.016,
    steel,
    6,
  );
  rod(
    stage,
    [
      [x - 0.006, y, z + 0.016],
      [x - 0.003, y, z + 0.016],
    ],
    0.02,
    steel,
    26,
  );
  rod(
    stage,
    [
      [x - 0.003, y, z + 0.016],
      [x + length, y, z + 0.016],
    ],
    0.0088,
    { colour: hex('#74787e'), gloss: 1 },
    20,
  );
  for (let i = 0; i < 26; i += 1) {
    const at = x + 0.006 + i * ((length - 0.008) / 26);
    const worn = i > 8 && i < 18;
    rod(
      stage,
      [
        [at, y, z + 0.016],
        [at + 0.0018, y, z + 0.016],
      ],
      worn ? 0.0091 : 0.0108,
      worn ? { colour: hex('#d9dadd'), gloss: 1 } : steel,
      20,
    );
  }
  for (let i = 0; i < 30; i += 1)
    cushion(
      stage,
      [stage.chance.between(0.002, 0.006), 0.0016, 0.0012],
      {
        at: [x + length * stage.chance.between(0.2, 0.8), y + stage.chance.between(-0.045, 0.03), z],
        turn: stage.chance.between(0, 180),
      },
      { colour: hex('#c9cbce'), gloss: 1 },
      0.8,
      6,
    );
}

/** Parts in their bags, laid out in a row to be counted; `gap` leaves one place empty. */
export function laidOut(stage: Stage, at: Vec, pieces: number, gap: number | null, what: 'legs' | 'bags'): void {
  for (let i = 0; i < pieces; i += 1) {
    const x = at[0] + (i - (pieces - 1) / 2) * 0.16;
    const mat = stage.panel([x - 0.06, at[1] + 0.16, at[2] + 0.002], [0.12, 0, 0], [0, -0.32, 0]);
    if (mat) {
      mat.rectangle(0, 0, 0.12, 0.32, { colour: hex('#dcd8cd'), opacity: 0.9 });
      mat.text(`${i + 1}`, 0.046, 0.28, 0.03, { colour: [70, 70, 80] });
      if (i === gap)
        mat.line(
          [
            [0.02, 0.04],
            [0.1, 0.26],
          ],
          0.004,
          { colour: [190, 30, 30], opacity: 0.75 },
        );
      mat.finish(-3);
    }
    if (i === gap) continue;
    stage.shadow(
      [
        [x - 0.03, at[1] - 0.1, at[2]],
        [x + 0.03, at[1] - 0.1, at[2]],
        [x + 0.03, at[1] + 0.12, at[2]],
        [x - 0.03, at[1] + 0.12, at[2]],
      ],
      0.4,
      0.015,
    );
    if (what === 'legs') {
      rod(
        stage,
        [
          [x, at[1] + 0.1, at[2] + 0.025],
          [x, at[1] - 0.1, at[2] + 0.025],
        ],
        0.024,
        STEEL,
      );
      rod(
        stage,
        [
          [x, at[1] + 0.13, at[2] + 0.025],
          [x, at[1] + 0.1, at[2] + 0.025],
        ],
        0.009,
        BRIGHT,
      );
    } else {
      cushion(
        stage,
        [0.11, 0.18, 0.03],
        { at: [x, at[1] + 0.02, at[2]], turn: stage.chance.between(-8, 8) },
        { colour: hex('#c5ccd2'), gloss: 0.9 },
        0.6,
        14,
      );
    }
  }
}
