import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { projectRoot } from '../platform/config/project-root.js';

const TYPES: Readonly<Record<string, string>> = {
  css: 'text/css; charset=utf-8',
  html: 'text/html; charset=utf-8',
  js: 'text/javascript; charset=utf-8',
  wasm: 'application/wasm',
};

/** A file of the crew's app, as it is and pressed together. */
export interface CrewFile {
  readonly type: string;
  readonly body: Buffer;
  readonly gzip: Buffer;
  /** The first letters of the SHA-256 of the bytes. */
  readonly tag: string;
}

let known: ReadonlyMap<string, CrewFile> | undefined;

/** Where the build puts the crew's app. */
export function crewFolder(): string {
  return join(projectRoot(), 'dist/web/crew');
}

/**
 * The files of the crew's app by name, read once: they do not change while the process runs.
 * @throws Error where the app was not built
 */
export function crewFiles(): ReadonlyMap<string, CrewFile> {
  known ??= read();
  return known;
}

function read(): ReadonlyMap<string, CrewFile> {
  const folder = crewFolder();
  if (!existsSync(join(folder, 'index.html')))
    throw new Error(`The pages for crews are not built: ${folder} is empty. Run npm run build:pages.`);
  return new Map(
    readdirSync(folder).flatMap((name) => {
      const type = TYPES[name.slice(name.lastIndexOf('.') + 1)];
      if (type === undefined) return [];
      const body = readFileSync(join(folder, name));
      const tag = createHash('sha256').update(body).digest('hex').slice(0, 12);
      return [[name, { type, body, gzip: gzipSync(body, { level: 9 }), tag }] as const];
    }),
  );
}
