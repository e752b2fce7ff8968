import { type Camera, type Chance, type Vec, dot, middle, minus, plus, times, unit } from './space.js';
import { type Colour, css, path } from './paint.js';
import { Panel } from './panel.js';

export interface Material {
  readonly colour: Colour;
  /** 0 dull to 1 shiny: how strongly the light's mirror image shows. */
  readonly gloss?: number;
  /** Id of a pattern laid over the flat colour: fibres, weave, grain. */
  readonly texture?: string;
  /** Colour of the light line along edges; none when absent. */
  readonly edge?: Colour;
}

/** Everything put in front of the camera, drawn from far to near. */
export class Stage {
  readonly camera: Camera;
  readonly chance: Chance;
  readonly light: Vec;
  private readonly layers = new Map<number, { readonly depth: number; readonly svg: string }[]>();
  private readonly defs: string[] = [];
  private names = 0;

  constructor(camera: Camera, chance: Chance, light: Vec = [-0.45, -0.55, 0.75]) {
    this.camera = camera;
    this.chance = chance;
    this.light = unit(light);
  }

  /** Adds a definition (gradient, clip, filter) and answers its id. `body` is given the id. */
  define(body: (id: string) => string): string {
    this.names += 1;
    const id = `d${this.names}`;
    this.defs.push(body(id));
    return id;
  }

  /** @param layer 0 walls and floor, 1 shadows, 2 things, 3 laid on top */
  put(layer: number, depth: number, svg: string): void {
    const items = this.layers.get(layer) ?? [];
    items.push({ depth, svg });
    this.layers.set(layer, items);
  }

  /** Colour of a surface under the one lamp, the sky and a little light from the floor. */
  lit(material: Material, normal: Vec, at: Vec): Colour {
    const towards = Math.max(0, dot(normal, this.light));
    const sky = 0.5 + 0.5 * normal[2];
    const half = unit(plus(this.light, unit(minus(this.camera.eye, at))));
    const shine = (material.gloss ?? 0) * Math.pow(Math.max(0, dot(normal, half)), 24) * 150;
    const strength = 0.34 + 0.2 * sky + 0.56 * towards;
    const [r, g, b] = material.colour;
    return [r * strength * 1.02 + shine, g * strength + shine, b * strength * (1.02 - 0.05 * towards) + shine];
  }

  /** One flat polygon. */
  face(
    points: readonly Vec[],
    normal: Vec,
    material: Material,
    options: { bias?: number; twoSided?: boolean } = {},
  ): void {
    const outward = this.camera.faces(points, normal);
    if (!outward && !options.twoSided) return;
    const clipped = this.camera.clip(points);
    if (clipped.length < 3) return;
    const centre = middle(points);
    const colour = css(this.lit(material, outward ? normal : times(normal, -1), centre));
    const d = path(clipped.map((p) => this.camera.see(p)));
    let svg = `<path d="${d}" fill="${colour}" stroke="${colour}" stroke-width=".9" stroke-linejoin="round"/>`;
    if (material.texture) svg += `<path d="${d}" fill="url(#${material.texture})"/>`;
    if (material.edge)
      svg += `<path d="${d}" fill="none" stroke="${css(material.edge)}" stroke-width="1.4" stroke-opacity=".32" stroke-linejoin="round"/>`;
    this.put(2, this.camera.distance(centre) - (options.bias ?? 0), svg);
  }

  /** A flat rectangle that takes marks. Undefined when it is seen from behind. */
  panel(origin: Vec, across: Vec, down: Vec): Panel | undefined {
    const panel = new Panel(this, origin, across, down);
    return this.camera.faces(panel.corners(), panel.normal) ? panel : undefined;
  }

  /** Soft dark patch on the floor under a set of points lit from the lamp. */
  shadow(points: readonly Vec[], strength = 0.42, blur = 0.05, floor = 0): void {
    const cast = points.map((p): Vec => {
      const k = (p[2] - floor) / this.light[2];
      return [p[0] - this.light[0] * k * 0.55, p[1] - this.light[1] * k * 0.55, floor];
    });
    this.smudge(hull(cast), strength, blur);
    const foot = points.filter((p) => p[2] - floor < 0.06).map((p): Vec => [p[0], p[1], floor]);
    if (foot.length > 2) this.smudge(hull(foot), strength * 1.25, blur * 0.45);
  }

  smudge(polygon: readonly Vec[], strength: number, blur: number): void {
    const clipped = this.camera.clip(polygon);
    if (clipped.length < 3) return;
    const radius = Math.max(1, blur * this.camera.scale(middle(clipped)));
    const filter = this.define(
      (id) =>
        `<filter id="${id}" x="-50%" y="-50%" width="200%" height="200%"><feGaussianBlur stdDeviation="${radius.toFixed(1)}"/></filter>`,
    );
    const d = path(clipped.map((p) => this.camera.see(p)));
    this.put(1, 0, `<path d="${d}" fill="#0e0c0d" fill-opacity="${strength}" filter="url(#${filter})"/>`);
  }

  /** The finished picture as SVG. @param softBackground blur of walls and floor in pixels, as a lens gives it */
  svg(softBackground = 0): string {
    const { width, height } = this.camera;
    const groups = [...this.layers.entries()]
      .sort(([a], [b]) => a - b)
      .map(([layer, items]) => {
        const drawn = [...items].sort((a, b) => b.depth - a.depth).map((item) => item.svg);
        const blur = layer === 0 && softBackground > 0 ? ' filter="url(#lens)"' : '';
        return `<g${blur}>${drawn.join('')}</g>`;
      });
    const lens = `<filter id="lens" x="0" y="0" width="100%" height="100%"><feGaussianBlur stdDeviation="${softBackground}" edgeMode="duplicate"/></filter>`;
    return `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" viewBox="0 0 ${width} ${height}"><defs>${lens}${this.defs.join('')}</defs>${groups.join('')}</svg>`;
  }
}

/** Convex hull on the floor (Andrew's monotone chain). */
export function hull(points: readonly Vec[]): Vec[] {
  const sorted = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const half = (list: readonly Vec[]): Vec[] => {
    const chain: Vec[] = [];
    for (const p of list) {
      while (chain.length > 1) {
        const [a, b] = [chain.at(-2), chain.at(-1)];
        if (!a || !b || (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) > 0) break;
        chain.pop();
      }
      chain.push(p);
    }
    return chain.slice(0, -1);
  };
  return [...half(sorted), ...half(sorted.reverse())];
}
