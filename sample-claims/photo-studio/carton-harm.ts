import { BOARD, BOARD_INSIDE, DARK } from './carton-plan.js';
import { dim, hex } from './paint.js';
import type { Panel } from './panel.js';
import { type Point, type Vec, cross, minus, plus, times, unit } from './space.js';
import type { Material, Stage } from './stage.js';

/** Board pushed in over a hand's breadth, with the creases around it. */
export function dent(panel: Panel, stage: Stage, u: number, v: number): void {
  const { chance } = stage;
  panel.area(panel.blob(u, v, 0.17, 0.09, 0.15), { colour: DARK, opacity: 0.42, blur: 0.028 });
  panel.area(panel.blob(u + 0.03, v + 0.055, 0.13, 0.03, 0.3), { colour: hex('#f4dcb2'), opacity: 0.5, blur: 0.018 });
  for (let i = 0; i < 11; i += 1) {
    const a = (i / 11) * 2 * Math.PI + chance.between(-0.2, 0.2);
    const [c, s] = [Math.cos(a), Math.sin(a)];
    const run: Point[] = [
      [u + c * 0.06, v + s * 0.03],
      [u + c * 0.14 + chance.between(-0.02, 0.02), v + s * 0.075],
      [u + c * chance.between(0.18, 0.26), v + s * chance.between(0.09, 0.14)],
    ];
    panel.line(run, 0.004, { colour: DARK, opacity: 0.5 });
    panel.line(
      run.map(([x, y]): Point => [x + 0.003, y + 0.004]),
      0.003,
      { colour: hex('#f7e4bf'), opacity: 0.4 },
    );
  }
}

/** A hole with torn paper around it; `fork` makes it a broad slot as a lift truck leaves it. */
export function hole(panel: Panel, stage: Stage, u: number, v: number, r: number, fork: boolean): void {
  const { chance } = stage;
  const rim = panel.blob(u, v, r * (fork ? 1.7 : 1), r * (fork ? 0.62 : 0.8), 0.22, 18);
  panel.area(panel.blob(u, v, r * (fork ? 2.3 : 1.6), r * 1.15, 0.2), { colour: DARK, opacity: 0.35, blur: 0.014 });
  panel.area(rim, { colour: [14, 9, 5] });
  rim.forEach(([x, y], i) => {
    const [nx, ny] = rim[(i + 1) % rim.length] ?? [x, y];
    const out = chance.between(1.06, 1.45);
    const tip: Point = [u + ((x + nx) / 2 - u) * out, v + ((y + ny) / 2 - v) * out];
    panel.area([[x, y], tip, [nx, ny]], { colour: dim(BOARD_INSIDE, chance.between(0.85, 1.2)), opacity: 0.95 });
    panel.line([[x, y], tip], 0.0018, { colour: DARK, opacity: 0.5 });
  });
  for (let i = 0; i < 6; i += 1) {
    const x = u + chance.between(-1, 1) * r * (fork ? 1.3 : 0.7);
    panel.line(
      [
        [x, v - r * 0.3],
        [x + chance.between(-0.01, 0.01), v + r * 0.35],
      ],
      0.003,
      { colour: hex('#a98554'), opacity: 0.55 },
    );
  }
}

/** Water that rose from the floor or fell from above, with its tide lines. */
export function stain(panel: Panel, stage: Stage, below: boolean): void {
  const { width: w, height: h } = panel;
  const { chance } = stage;
  for (const [level, opacity] of [
    [0.52, 0.2],
    [0.44, 0.22],
    [0.34, 0.28],
  ] as const) {
    const wave = Array.from({ length: 26 }, (_, i): Point => [
      (i / 25) * w,
      h * (1 - level) + chance.between(-0.022, 0.022) + Math.sin(i * 0.9 + level * 9) * h * 0.03,
    ]);
    const area: Point[] = below
      ? [...wave, [w, h], [0, h]]
      : panel.blob(w * 0.56, h * 0.45, w * level * 0.55, h * level * 0.75, 0.12, 34);
    panel.area(area, { colour: [66, 42, 20], opacity });
    panel.line(below ? wave : [...area, area[0] ?? [0, 0]], 0.004, { colour: [70, 45, 22], opacity: 0.5 });
  }
}

/** The crushed corner itself: crumpled facets between three points on the edges and one pushed in. */
export function crumple(
  stage: Stage,
  board: Material,
  [corner, a, b, c]: readonly [Vec, Vec, Vec, Vec],
  centre: Vec,
): void {
  const inward = unit(minus(centre, corner));
  const size = Math.hypot(...minus(a, corner));
  const jitter = (p: Vec, k: number): Vec =>
    plus(plus(p, times(inward, size * k)), [
      stage.chance.between(-0.012, 0.012),
      stage.chance.between(-0.012, 0.012),
      stage.chance.between(-0.02, 0.02),
    ]);
  const between = (p: Vec, q: Vec): Vec[] =>
    [0.3, 0.65].map((t) => jitter(plus(times(p, 1 - t), times(q, t)), stage.chance.between(-0.12, 0.2)));
  const rim = [a, ...between(a, b), b, ...between(b, c), c, ...between(c, a)];
  const inner = rim.map((p) =>
    jitter(
      plus(times(p, 0.45), times(plus(corner, times(inward, size * 0.75)), 0.55)),
      stage.chance.between(-0.1, 0.16),
    ),
  );
  const pit = plus(corner, times(inward, size * 0.8));
  rim.forEach((p, i) => {
    const n = (i + 1) % rim.length;
    const [q, r, s] = [rim[n], inner[n], inner[i]];
    if (!q || !r || !s) return;
    for (const triangle of [
      [p, q, r],
      [p, r, s],
      [s, r, pit],
    ] as const) {
      const normal = unit(cross(minus(triangle[1], triangle[0]), minus(triangle[2], triangle[0])));
      const away = unit(minus(corner, centre));
      const facing = normal[0] * away[0] + normal[1] * away[1] + normal[2] * away[2] >= 0 ? normal : times(normal, -1);
      stage.face(
        [...triangle],
        facing,
        { ...board, colour: dim(BOARD, stage.chance.between(0.72, 1.12)), edge: hex('#f5deb4') },
        { bias: 0.12, twoSided: true },
      );
    }
  });
}
