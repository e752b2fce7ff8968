import { execFileSync } from 'node:child_process';
import { readFileSync, readlinkSync } from 'node:fs';
import path from 'node:path';

/** What the operating system tells about one process. */
export interface ProcessFacts {
  readonly pid: number;
  /** Ended but not yet collected by its parent: it does nothing any more, though its number is taken. */
  readonly zombie: boolean;
  /** Tells a process from a later one with the same number; empty when it cannot be known. */
  readonly startedAt: string;
  /** Name of its program, such as "postgres"; empty when it cannot be known. */
  readonly program: string;
  /** Its working folder, when we may see it. */
  readonly folder?: string | undefined;
}

/** Who holds something: a process number together with the start that makes it unique. */
export interface ProcessIdentity {
  readonly pid: number;
  readonly startedAt: string;
}

/** The facts of a process, or undefined when there is none with that number. */
export function processFacts(pid: number): ProcessFacts | undefined {
  if (!Number.isSafeInteger(pid) || pid <= 0) return undefined;
  if (process.platform === 'linux') return linuxFacts(pid) ?? bareFacts(pid);
  if (process.platform === 'win32') return bareFacts(pid);
  return psFacts(pid);
}

/** The process we are. */
export function ownIdentity(): ProcessIdentity {
  return { pid: process.pid, startedAt: processFacts(process.pid)?.startedAt ?? '' };
}

/** True while the very process that is named still works; a zombie and a later process with the same number do not count. */
export function isAlive(identity: ProcessIdentity, factsOf = processFacts): boolean {
  const facts = factsOf(identity.pid);
  if (facts === undefined || facts.zombie) return false;
  return facts.startedAt === '' || identity.startedAt === '' || facts.startedAt === identity.startedAt;
}

/**
 * Reads the text of /proc/PID/stat. The program name stands in brackets and may hold brackets and blanks itself,
 * so the fields are counted from the last one on: state is field 3, start time (clock ticks after boot) field 22 (proc(5)).
 */
export function parseStat(text: string): { program: string; zombie: boolean; startTicks: string } | undefined {
  const open = text.indexOf('(');
  const close = text.lastIndexOf(')');
  if (open === -1 || close === -1) return undefined;
  const rest = text.slice(close + 2).split(' ');
  const startTicks = rest[19];
  if (startTicks === undefined) return undefined;
  return { program: text.slice(open + 1, close), zombie: rest[0] === 'Z' || rest[0] === 'X', startTicks };
}

function linuxFacts(pid: number): ProcessFacts | undefined {
  const stat = parseStat(textOf(`/proc/${pid}/stat`) ?? '');
  if (stat === undefined) return undefined;
  // Ticks count from boot, so the boot's own id goes in front.
  const boot = (textOf('/proc/sys/kernel/random/boot_id') ?? '').trim();
  return {
    pid,
    zombie: stat.zombie,
    startedAt: `${boot}:${stat.startTicks}`,
    program: stat.program,
    folder: linkOf(`/proc/${pid}/cwd`),
  };
}

function psFacts(pid: number): ProcessFacts | undefined {
  try {
    const run = (column: string): string =>
      execFileSync('/bin/ps', ['-o', `${column}=`, '-p', String(pid)], { encoding: 'utf8' }).trim();
    return { pid, zombie: run('state').startsWith('Z'), startedAt: run('lstart'), program: path.basename(run('comm')) };
  } catch {
    return undefined; // ps ends with an error when no such process exists
  }
}

/** All that a signal test can tell: the number is taken. */
function bareFacts(pid: number): ProcessFacts | undefined {
  try {
    process.kill(pid, 0);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EPERM') return undefined;
  }
  return { pid, zombie: false, startedAt: '', program: '' };
}

function textOf(file: string): string | undefined {
  try {
    return readFileSync(file, 'utf8');
  } catch {
    return undefined;
  }
}

function linkOf(file: string): string | undefined {
  try {
    return readlinkSync(file);
  } catch {
    return undefined; // gone, or it belongs to somebody else
  }
}
