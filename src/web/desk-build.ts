import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { projectRoot } from '../platform/config/project-root.js';

/** One entry of the list that the bundler writes of its files. */
interface Chunk {
  readonly file: string;
  readonly css?: readonly string[];
  readonly isEntry?: boolean;
}

export interface DeskBuild {
  /** Address of the script that starts the desk. */
  readonly script: string;
  readonly sheets: readonly string[];
}

/** Folder of the desk as it is built for browsers; `npm start` and `npm test` build it. */
export function deskFolder(): string {
  return join(projectRoot(), 'dist/web/desk');
}

/** What the page of the desk has to load. @throws Error where the desk was not built */
export function deskBuild(): DeskBuild {
  const file = join(deskFolder(), '.vite/manifest.json');
  const manifest = JSON.parse(readFileSync(file, 'utf8')) as Readonly<Record<string, Chunk>>;
  const entry = Object.values(manifest).find(({ isEntry }) => isEntry === true);
  if (entry === undefined) throw new Error(`${file} names no entry`);
  const at = (name: string): string => `/assets/desk/${name}`;
  return { script: at(entry.file), sheets: (entry.css ?? []).map(at) };
}
