import { spawn } from 'node:child_process';
import type { ChildProcess } from 'node:child_process';
import { chmodSync, existsSync, mkdtempSync, rmSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { createInterface } from 'node:readline';
import { afterAll, afterEach, expect, inject } from 'vitest';
import { startPrivateServer, stopPrivateServer } from '../../src/platform/postgres/private-server.js';
import type { PrivateServer, PrivateServerOptions } from '../../src/platform/postgres/private-server.js';
import { processFacts } from '../../src/platform/postgres/process-facts.js';

const folders: string[] = [];
const children: ChildProcess[] = [];

/** Ends what a test left running and removes its folders. */
export function cleanUpAfterEach(): void {
  afterEach(cleanUp);
}

/** The same for tests that share a server. */
export function cleanUpAfterAll(): void {
  afterAll(cleanUp);
}

async function cleanUp(): Promise<void> {
  for (const child of children.splice(0)) {
    if (child.exitCode !== null || child.signalCode !== null) continue;
    const gone = new Promise((settle) => child.once('exit', settle));
    child.kill('SIGKILL');
    await gone;
  }
  for (const folder of folders.splice(0)) {
    const stateDir = path.join(folder, 'state');
    const sharedRoot = path.join(folder, 'shared');
    if (existsSync(stateDir))
      await stopPrivateServer({ stateDir, sharedRoot, force: true, onProgress: () => undefined });
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Options of a server with a state folder of its own below the temporary folder. */
export function freshState(more: Partial<PrivateServerOptions> = {}): PrivateServerOptions & { progress: string[] } {
  const folder = mkdtempSync(path.join(tmpdir(), 'as-noted-server-'));
  chmodSync(folder, 0o711); // under root the server's account passes through
  folders.push(folder);
  const { programsDir } = inject('testServer');
  const progress: string[] = [];
  return {
    stateDir: path.join(folder, 'state'),
    sharedRoot: path.join(folder, 'shared'),
    settings: { fsync: 'off' },
    ...(programsDir === undefined ? {} : { programsDir }),
    onProgress: (line) => void progress.push(line),
    progress,
    ...more,
  };
}

/** Starts a server in this process. */
export function start(options: PrivateServerOptions): Promise<PrivateServer> {
  return startPrivateServer(options);
}

/** A starter in a process of its own. */
export interface Starter {
  readonly child: ChildProcess;
  /** What it printed once the server was up. */
  readonly up: Promise<{ readonly url: string; readonly attached: boolean }>;
  /** Ends it with a signal and waits until it has gone. */
  end(signal: NodeJS.Signals): Promise<number | null>;
}

/** Starts a server from another process, which then holds it. */
export function startElsewhere(options: PrivateServerOptions): Starter {
  const child = runStarter(['server', JSON.stringify(options)]);
  const ended = new Promise<number | null>((settle) => child.once('exit', (code) => settle(code)));
  const up = new Promise<{ url: string; attached: boolean }>((settle, fail) => {
    let errors = '';
    child.stderr?.on('data', (chunk: Buffer) => (errors += chunk.toString()));
    if (child.stdout) createInterface(child.stdout).once('line', (line) => settle(JSON.parse(line)));
    void ended.then((code) => fail(new Error(`the starter ended with ${code}: ${errors}`)));
  });
  up.catch(() => undefined); // whoever wants to know awaits it
  const end = (signal: NodeJS.Signals): Promise<number | null> => {
    child.kill(signal);
    return ended;
  };
  return { child, up, end };
}

/** Runs tests/support/start-server.mjs with the Node that runs the tests. */
export function runStarter(args: readonly string[]): ChildProcess {
  const script = path.join(import.meta.dirname, '../support/start-server.mjs');
  const child = spawn(process.execPath, ['--no-warnings', script, ...args], { stdio: ['ignore', 'pipe', 'pipe'] });
  children.push(child);
  return child;
}

/** The data folder of a server. */
export function dataDirOf(server: Pick<PrivateServer, 'home'>): string {
  return path.join(server.home, 'run', 'data');
}

/** The number of the server's main process, from its pid file. */
export async function serverPid(server: Pick<PrivateServer, 'home'>): Promise<number> {
  return Number.parseInt(await readFile(path.join(dataDirOf(server), 'postmaster.pid'), 'utf8'), 10);
}

/** Waits until a process does no work any more: gone, or a zombie. */
export async function waitUntilEnded(pid: number): Promise<void> {
  await expect.poll(() => processFacts(pid)?.zombie ?? true, { timeout: 15_000, interval: 20 }).toBe(true);
}
