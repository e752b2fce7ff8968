import { randomUUID } from 'node:crypto';
import { constants } from 'node:fs';
import { chmod, cp, mkdir, readdir, readFile, rename, rm, stat, symlink } from 'node:fs/promises';
import path from 'node:path';
import { runProgram } from './programs.js';

/** One line of pg-symlinks.json; both paths count from the package's folder. */
interface PackedLink {
  /** The file that is there. */
  readonly source: string;
  /** The name that shall point to it. */
  readonly target: string;
}

/**
 * Copies the packaged programs once to `destination` and makes them run: npm packs neither symbolic links nor, under every umask, the
 * execute bits, and installation scripts may be switched off. An existing copy is left alone; a half-made one never gets the final name.
 * @returns undefined when the programs run, else the reason why they do not (another C library, another processor)
 */
export async function copyNative(native: string, destination: string): Promise<string | undefined> {
  const present = await stat(destination).catch(() => undefined);
  if (present === undefined) {
    const half = `${destination}.${randomUUID()}`;
    await mkdir(path.dirname(half), { recursive: true });
    await cp(native, half, { recursive: true, verbatimSymlinks: true, mode: constants.COPYFILE_FICLONE });
    await makeLinks(half);
    await openModes(half);
    await moveIntoPlace(half, destination);
  }
  const program = path.join(destination, 'bin', process.platform === 'win32' ? 'postgres.exe' : 'postgres');
  const { ok, output } = await runProgram({ program, args: ['--version'], cwd: destination });
  if (ok) return undefined;
  await rm(destination, { recursive: true, force: true });
  return `the packaged one does not run: ${output.split('\n')[0] ?? 'no reason given'}`;
}

/** Servers of several state folders may share one copy; whoever is second finds it in place. */
async function moveIntoPlace(half: string, destination: string): Promise<void> {
  try {
    await rename(half, destination);
  } catch (error) {
    await rm(half, { recursive: true, force: true });
    const { code } = error as NodeJS.ErrnoException;
    if (code !== 'ENOTEMPTY' && code !== 'EEXIST') throw error;
  }
}

async function makeLinks(copy: string): Promise<void> {
  const list = await readFile(path.join(copy, 'pg-symlinks.json'), 'utf8').catch(() => '[]');
  for (const { source, target } of JSON.parse(list) as readonly PackedLink[]) {
    const from = path.join(copy, path.relative('native', target));
    const to = path.join(copy, path.relative('native', source));
    if (![from, to].every((file) => file.startsWith(copy + path.sep))) continue; // the list never leaves the package
    await rm(from, { force: true });
    await mkdir(path.dirname(from), { recursive: true });
    await symlink(path.relative(path.dirname(from), to), from);
  }
}

/** Everybody may read and enter; the programs may be run. The account of the server is not the one that copied. */
async function openModes(copy: string): Promise<void> {
  await chmod(copy, 0o755);
  for (const entry of await readdir(copy, { recursive: true, withFileTypes: true })) {
    if (entry.isSymbolicLink()) continue;
    const runs = entry.isDirectory() || path.basename(entry.parentPath) === 'bin';
    await chmod(path.join(entry.parentPath, entry.name), runs ? 0o755 : 0o644);
  }
}
