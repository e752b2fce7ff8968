import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { projectRoot } from '../platform/config/project-root.js';
import { Refused } from '../platform/http/problems.js';

const TYPES: Readonly<Record<string, string>> = {
  css: 'text/css; charset=utf-8',
  html: 'text/html; charset=utf-8',
  js: 'text/javascript; charset=utf-8',
  wasm: 'application/wasm',
};

/** A file of an app in the browser, as it is and pressed together. */
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
  known ??= builtFiles(crewFolder());
  return known;
}

/** The files of a folder that the build has filled, by name. @throws Error where it has not */
export function builtFiles(folder: string): ReadonlyMap<string, CrewFile> {
  if (!existsSync(join(folder, 'index.html')))
    throw new Error(`The pages are not built: ${folder} is empty. Run npm run build:pages.`);
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

/** Sends a built file, pressed together where the browser takes that. @throws Refused `not-found` where there is none */
export function sendBuilt(
  request: FastifyRequest,
  reply: FastifyReply,
  found: CrewFile | undefined,
  caching: string,
): void {
  if (found === undefined) throw new Refused('not-found', 'There is no such file.');
  void reply.header('etag', `"${found.tag}"`).header('cache-control', caching).header('vary', 'accept-encoding');
  if (request.headers['if-none-match'] === `"${found.tag}"`) void reply.code(304).send();
  else if (/\bgzip\b/.test(request.headers['accept-encoding'] ?? ''))
    void reply.type(found.type).header('content-encoding', 'gzip').send(found.gzip);
  else void reply.type(found.type).send(found.body);
}
