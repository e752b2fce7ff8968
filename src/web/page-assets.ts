import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { projectRoot } from '../platform/config/project-root.js';

const TYPES = {
  css: 'text/css; charset=utf-8',
  js: 'text/javascript; charset=utf-8',
  svg: 'image/svg+xml',
} as const;

const NAMES = ['tokens.css', 'base.css', 'fields.css', 'office.css', 'media.css', 'mark.svg'] as const;
export type AssetName = (typeof NAMES)[number];

export interface Asset {
  readonly type: string;
  readonly body: Buffer;
  /** The first letters of the SHA-256 of the bytes: part of the address, so that it may be kept for ever. */
  readonly tag: string;
}

/** Process-wide: the files do not change while the process runs. */
const assets: ReadonlyMap<string, Asset> = new Map(
  NAMES.map((name) => {
    const body = readFileSync(join(projectRoot(), 'src/web/assets', name));
    const ending = name.slice(name.lastIndexOf('.') + 1) as keyof typeof TYPES;
    return [name, { type: TYPES[ending], body, tag: createHash('sha256').update(body).digest('hex').slice(0, 12) }];
  }),
);

/** A file of the pages. */
export function asset(name: string): Asset | undefined {
  return assets.get(name);
}

/** Its address, which changes when the file does. */
export function assetAddress(name: AssetName): string {
  return `/assets/${name}?v=${assets.get(name)?.tag ?? ''}`;
}
