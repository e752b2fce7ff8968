import { STEEL } from './finishes.js';
import { hex } from './paint.js';
import { cushion, rail } from './solids.js';
import type { Point, Vec } from './space.js';
import type { Stage } from './stage.js';

/** A welded joint of two square tubes, whole or cracked along the bead. */
export function weld(stage: Stage, at: Vec, cracked: boolean): void {
  const [x, y, z] = at;
  const steel = { ...STEEL, colour: hex('#4a4d53') };
  rail(
    stage,
    [
      [x - 0.5, y, z + 0.04],
      [x + 0.5, y, z + 0.04],
    ],
    [0.06, 0.08],
    steel,
  );
  rail(
    stage,
    [
      [x + 0.02, y - 0.03, z + 0.04],
      [x + 0.02, y - 0.5, z + 0.04],
    ],
    [0.06, 0.07],
    steel,
  );
  for (let i = 0; i < 13; i += 1)
    cushion(
      stage,
      [0.0085, 0.016, 0.009],
      { at: [x - 0.011 + i * 0.0052, y - 0.034, z + 0.071], turn: 8 },
      { colour: hex('#6b6660'), gloss: 0.8 },
      0.9,
      8,
    );
  for (let i = 0; i < 12; i += 1)
    cushion(
      stage,
      [0.014, 0.009, 0.011],
      { at: [x - 0.013, y - 0.034, z + 0.008 + i * 0.0055] },
      { colour: hex('#625e59'), gloss: 0.8 },
      0.9,
      8,
    );
  const face = stage.panel([x - 0.1, y + 0.03, z + 0.0805], [0.24, 0, 0], [0, -0.4, 0]);
  if (!face || !cracked) return;
  const run: Point[] = Array.from({ length: 15 }, (_, i): Point => [
    0.075 + i * 0.0075,
    0.0665 + stage.chance.between(-0.0035, 0.0035),
  ]);
  face.line(run, 0.0075, { colour: hex('#7a3b1c'), opacity: 0.75 });
  face.line(run, 0.0042, { colour: [8, 7, 6] });
  face.line(
    [
      [0.18, 0.067],
      [0.2, 0.06],
      [0.214, 0.047],
    ],
    0.0024,
    { colour: [8, 7, 6] },
  );
  for (let i = 0; i < 9; i += 1)
    face.ellipse(0.08 + stage.chance.between(0, 0.11), 0.067 + stage.chance.between(-0.014, 0.014), 0.003, 0.0022, {
      colour: hex('#93512a'),
      opacity: 0.8,
    });
  face.finish(0.2);
}

/** A piece of frame rail: bent with chipped paint, scratched, or with a flaw under the paint. */
export function railPiece(stage: Stage, at: Vec, harm: 'bent' | 'scratched' | 'dented'): void {
  const [x, y, z] = at;
  const deep = harm === 'bent' ? 0.085 : 0;
  const line: Vec[] =
    deep > 0
      ? [
          [x - 0.6, y, z + 0.04],
          [x - 0.12, y + 0.005, z + 0.04],
          [x + 0.02, y + deep, z + 0.05],
          [x + 0.16, y + 0.01, z + 0.04],
          [x + 0.6, y, z + 0.04],
        ]
      : [
          [x - 0.6, y, z + 0.04],
          [x + 0.6, y, z + 0.04],
        ];
  stage.shadow(
    line.map(([a, b]): Vec => [a, b - 0.02, z]),
    0.5,
    0.03,
  );
  rail(stage, line, [0.06, 0.08], { ...STEEL, colour: hex('#3f4248') });
  const face = stage.panel([x - 0.2, y - 0.03 + deep * 0.62, z + 0.085], [0.4, 0, 0], [0, 0, -0.085]);
  if (!face) return;
  if (harm === 'dented')
    face.area(face.blob(0.2, 0.04, 0.06, 0.028, 0.15), { colour: [12, 12, 14], opacity: 0.65, blur: 0.008 });
  if (harm === 'dented')
    face.area(face.blob(0.215, 0.055, 0.04, 0.01, 0.2), { colour: [190, 195, 202], opacity: 0.5, blur: 0.006 });
  for (let i = 0; i < (harm === 'scratched' ? 16 : 9); i += 1) {
    const u = 0.2 + stage.chance.between(-0.09, 0.09);
    const v = stage.chance.between(0.012, 0.07);
    face.area(face.blob(u, v, stage.chance.between(0.002, 0.011), stage.chance.between(0.0015, 0.005), 0.5, 10), {
      colour: hex('#b9bcc1'),
      opacity: 0.85,
    });
  }
  for (let i = 0; i < (harm === 'scratched' ? 9 : 4); i += 1) {
    const v = stage.chance.between(0.01, 0.075);
    face.line(
      [
        [0.2 - stage.chance.between(0.02, 0.14), v],
        [0.2 + stage.chance.between(0.02, 0.14), v + stage.chance.between(-0.012, 0.012)],
      ],
      0.0018,
      { colour: hex('#c9ccd1'), opacity: 0.8 },
    );
  }
  face.finish(0.25);
}
