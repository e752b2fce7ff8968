import { spawn } from 'node:child_process';
import { text } from 'node:stream/consumers';
import type { Account } from './account.js';

/** One run of a program of the server: where, as whom, with what. */
export interface ProgramRun {
  readonly program: string;
  readonly args: readonly string[];
  readonly cwd: string;
  readonly account?: Account | undefined;
}

/** How the program ended and what it printed. */
export interface ProgramEnd {
  readonly ok: boolean;
  readonly output: string;
}

/**
 * Runs a program to its end in a session of its own, so that a Ctrl-C at the terminal reaches Node alone and Node decides the order.
 * The environment is a bare one: PGPORT, PGOPTIONS and the like of the caller would bend initdb and the server.
 */
export async function runProgram(run: ProgramRun): Promise<ProgramEnd> {
  const child = spawn(run.program, run.args, {
    cwd: run.cwd,
    detached: process.platform !== 'win32',
    stdio: ['ignore', 'pipe', 'pipe'],
    windowsHide: true,
    ...(run.account === undefined ? {} : { uid: run.account.uid, gid: run.account.gid }),
    ...(process.platform === 'win32' ? {} : { env: { LC_ALL: 'C', PATH: '/usr/local/bin:/usr/bin:/bin' } }),
  });
  const failure = new Promise<Error | undefined>((settle) => {
    child.once('error', (error) => settle(error));
    child.once('close', () => settle(undefined));
  });
  const code = new Promise<number | null>((settle) => {
    child.once('exit', (exitCode) => settle(exitCode));
    child.once('error', () => settle(null));
  });
  const [out, err, failed, exitCode] = await Promise.all([text(child.stdout), text(child.stderr), failure, code]);
  if (failed !== undefined) return { ok: false, output: failed.message };
  return { ok: exitCode === 0, output: `${out}${err}`.trim() };
}
