import { randomBytes } from 'node:crypto';
import { chown, mkdir, readFile, rename, rm, stat, truncate, writeFile } from 'node:fs/promises';
import { createServer } from 'node:net';
import path from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import type { ServerPlace } from './account.js';
import { pidFileVerdict } from './pid-file.js';
import type { PidFileVerdict } from './pid-file.js';
import { processFacts } from './process-facts.js';
import { runProgram } from './programs.js';
import type { ProgramEnd } from './programs.js';
import { DatabaseUnavailable } from './unavailable.js';

/** The database role that owns the private server. */
export const OWNER_ROLE = 'as_noted';

const LOG_LIMIT_BYTES = 10_000_000;
const START_TRIES = 5;

/** A data folder and the programs that serve it. */
export interface Cluster {
  readonly place: ServerPlace;
  /** Folder with initdb, pg_ctl and postgres. */
  readonly bin: string;
  readonly major: number;
}

/** The data folder of a place. */
export function dataDirOf(place: ServerPlace): string {
  return path.join(place.run, 'data');
}

/** What the data folder's pid file says right now. */
export async function pidFileState(place: ServerPlace): Promise<PidFileVerdict> {
  const dataDir = dataDirOf(place);
  const text = await readFile(path.join(dataDir, 'postmaster.pid'), 'utf8').catch(() => undefined);
  return pidFileVerdict(text, dataDir, processFacts);
}

/** Removes a stale pid file. Only under our own lock: a server that another process starts meanwhile would lose its file. */
export async function removeStalePidFile(place: ServerPlace): Promise<void> {
  await rm(path.join(dataDirOf(place), 'postmaster.pid'), { force: true });
}

/** The owner role's password: random, kept in a file that only we may read, made on first use. */
export async function secretOf(place: ServerPlace): Promise<string> {
  const file = path.join(place.home, 'secret');
  const known = await readFile(file, 'utf8').catch(() => undefined);
  if (known !== undefined) return known;
  if ((await stat(dataDirOf(place)).catch(() => undefined)) !== undefined)
    throw new DatabaseUnavailable(
      `The password file ${file} is missing or not readable, so the database in ${dataDirOf(place)} cannot be opened. ` +
        'Start the service as the account that made it, or set DATABASE_URL.',
    );
  const secret = randomBytes(24).toString('hex');
  await writeFile(file, secret, { mode: 0o600, flag: 'wx' });
  return secret;
}

/**
 * Makes the data folder: checksums on, passwords by scram, UTF-8 with the builtin C.UTF-8 order where there is one (17 and later).
 * @param durable false leaves out the write-through to disk, for servers of the suite
 */
export async function initialise(cluster: Cluster, secret: string, durable: boolean): Promise<void> {
  const { place } = cluster;
  const fresh = path.join(place.run, 'data.fresh');
  const passwordFile = path.join(place.run, 'initdb-password');
  await rm(fresh, { recursive: true, force: true }); // a start that was killed half-way
  await rm(passwordFile, { force: true });
  try {
    await writeFile(passwordFile, secret, { mode: 0o600, flag: 'wx' });
    if (place.account !== undefined) await chown(passwordFile, place.account.uid, place.account.gid);
    const order =
      cluster.major >= 17
        ? ['--locale-provider=builtin', '--builtin-locale=C.UTF-8', '--no-locale']
        : [process.platform === 'linux' ? '--locale=C.UTF-8' : '--no-locale'];
    const args = [
      '-D',
      'data.fresh',
      '-U',
      OWNER_ROLE,
      '-k',
      '-A',
      'scram-sha-256',
      '--pwfile=initdb-password',
      '-E',
      'UTF8',
    ];
    const end = await runServerProgram(cluster, 'initdb', [...args, ...order, ...(durable ? [] : ['-N'])]);
    if (!end.ok) throw new DatabaseUnavailable(`PostgreSQL could not make its data folder: ${lastLines(end.output)}`);
    await rename(fresh, dataDirOf(place));
  } finally {
    await rm(passwordFile, { force: true });
  }
}

/**
 * Starts the server on a free port of 127.0.0.1 and waits until it accepts connections.
 * @param preferredPort the port of the last time, taken again when it is free; 0 or undefined when there was none
 * @param settings further server settings, name to value
 */
export async function startCluster(
  cluster: Cluster,
  preferredPort: number | undefined,
  settings: Readonly<Record<string, string>>,
): Promise<{ readonly port: number }> {
  const log = path.join(cluster.place.run, 'server.log');
  if (((await stat(log).catch(() => undefined))?.size ?? 0) > LOG_LIMIT_BYTES) await truncate(log);
  let output = '';
  for (let attempt = 1; attempt <= START_TRIES; attempt++) {
    const port = await freePort(attempt === 1 ? preferredPort : undefined);
    await configure(cluster.place, port, settings);
    const from = (await stat(log).catch(() => undefined))?.size ?? 0;
    const program = path.relative(cluster.place.run, path.join(cluster.bin, 'postgres'));
    const args = ['start', '-w', '-t', '120', '-s', '-D', 'data', '-l', 'server.log', '-p', program];
    const end = await runServerProgram(cluster, 'pg_ctl', args);
    if (end.ok) return { port };
    const logged = (await readFile(log).catch(() => Buffer.alloc(0))).subarray(from).toString('utf8');
    output = `${logged}\n${end.output}`;
    // Another program took the port between our look and the start, or children of a killed server are still leaving.
    if (!/could not bind|pre-existing shared memory block/.test(output)) break;
    await pause(200 * attempt);
  }
  throw new DatabaseUnavailable(`PostgreSQL did not start: ${lastLines(output)} The whole log is in ${log}.`);
}

/** Stops the server: open transactions roll back, committed work is written. */
export async function stopCluster(cluster: Cluster): Promise<void> {
  const end = await runServerProgram(cluster, 'pg_ctl', ['stop', '-w', '-t', '120', '-s', '-m', 'fast', '-D', 'data']);
  if (end.ok || (await pidFileState(cluster.place)).kind !== 'running') return;
  throw new DatabaseUnavailable(`PostgreSQL did not stop: ${lastLines(end.output)}`);
}

/** Makes the run folder, owned by the server's account and closed to everybody else. */
export async function makeRunFolder(place: ServerPlace): Promise<void> {
  await mkdir(place.run, { recursive: true, mode: 0o700 });
  if (place.account !== undefined) await chown(place.run, place.account.uid, place.account.gid);
}

/** Relative names, because pg_ctl hands the line to a shell: the project's path may hold anything. */
function runServerProgram(cluster: Cluster, program: string, args: readonly string[]): Promise<ProgramEnd> {
  const { place } = cluster;
  return runProgram({ program: path.join(cluster.bin, program), args, cwd: place.run, account: place.account });
}

async function configure(place: ServerPlace, port: number, settings: Readonly<Record<string, string>>): Promise<void> {
  const all: Readonly<Record<string, string>> = {
    listen_addresses: '127.0.0.1',
    port: String(port),
    unix_socket_directories: '',
    cluster_name: 'as-noted',
    timezone: 'UTC',
    log_timezone: 'UTC',
    log_checkpoints: 'off',
    ...settings,
  };
  const lines = Object.entries(all).map(([name, value]) => `${name} = '${value.replaceAll("'", "''")}'\n`);
  const file = path.join(dataDirOf(place), 'postgresql.auto.conf');
  await writeFile(file, `# Written at every start.\n${lines.join('')}`, { mode: 0o600 });
  if (place.account !== undefined) await chown(file, place.account.uid, place.account.gid);
}

function freePort(preferred: number | undefined): Promise<number> {
  return new Promise((settle, fail) => {
    const probe = createServer();
    probe.once('error', (error: NodeJS.ErrnoException) => {
      if (preferred === undefined) fail(error);
      else settle(freePort(undefined));
    });
    probe.listen({ host: '127.0.0.1', port: preferred ?? 0, exclusive: true }, () => {
      const address = probe.address();
      probe.close(() => settle(typeof address === 'object' && address !== null ? address.port : 0));
    });
  });
}

function lastLines(output: string): string {
  const lines = output.split('\n').filter((line) => line.trim() !== '');
  return lines.length === 0 ? 'it gave no reason.' : lines.slice(-4).join(' | ');
}
