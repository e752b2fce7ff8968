import { randomUUID } from 'node:crypto';
import { linkSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { setTimeout as pause } from 'node:timers/promises';
import { isAlive, ownIdentity } from './process-facts.js';
import type { ProcessIdentity } from './process-facts.js';
import { DatabaseUnavailable } from './unavailable.js';

/** A lock that we hold; give it back exactly once. */
export interface HeldLock {
  release(): void;
}

interface LockRecord extends ProcessIdentity {
  readonly token: string;
}

const POLL_MS = 50;

/**
 * Takes the lock or waits for it. The file names its holder by process number and start, so a lock whose holder died is taken over.
 * @param onWait called once, with the holder's process number, when we have to wait
 * @throws DatabaseUnavailable when the holder keeps it longer than `patienceMs`
 */
export async function acquireLock(file: string, onWait: (pid: number) => void, patienceMs: number): Promise<HeldLock> {
  const giveUpAt = performance.now() + patienceMs;
  for (let told = false; ;) {
    const held = tryLock(file);
    if (held !== undefined) return held;
    const holder = readLock(file);
    if (holder !== undefined && !told) {
      told = true;
      onWait(holder.pid);
    }
    if (performance.now() > giveUpAt)
      throw new DatabaseUnavailable(
        `Process ${holder?.pid ?? 'unknown'} has held ${file} for more than ${Math.round(patienceMs / 1000)} seconds. ` +
          `See what it does, or end it, and try again.`,
      );
    await pause(POLL_MS);
  }
}

/** Takes the lock if it is free or its holder is dead; undefined when somebody living has it. */
export function tryLock(file: string): HeldLock | undefined {
  const mine: LockRecord = { ...ownIdentity(), token: randomUUID() };
  if (!create(file, mine)) {
    const holder = readLock(file);
    if (holder !== undefined && isAlive(holder)) return undefined;
    if (holder !== undefined) reclaim(file, holder.token);
    if (!create(file, mine)) return undefined;
  }
  return {
    release: () => {
      if (readLock(file)?.token === mine.token) rmSync(file, { force: true });
    },
  };
}

/** Writes the whole record aside and links it into place: the lock appears at once and complete, or not at all. */
function create(file: string, record: LockRecord): boolean {
  const aside = `${file}.${record.token}`;
  writeFileSync(aside, JSON.stringify(record), { mode: 0o600, flag: 'wx' });
  try {
    linkSync(aside, file);
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') return false;
    throw error;
  } finally {
    rmSync(aside, { force: true });
  }
}

/**
 * Removes a dead holder's lock. Two processes may find the same dead holder; the slower one would remove the lock the faster one has
 * just taken. So removing needs a lock of its own, under which the token is read once more: only its holder ever removes a dead lock.
 */
function reclaim(file: string, deadToken: string): void {
  const right = tryLock(`${file}.reclaim`);
  if (right === undefined) return;
  try {
    if (readLock(file)?.token === deadToken) rmSync(file, { force: true });
  } finally {
    right.release();
  }
}

function readLock(file: string): LockRecord | undefined {
  let text: string;
  try {
    text = readFileSync(file, 'utf8');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
  try {
    return JSON.parse(text) as LockRecord;
  } catch {
    return { pid: 0, startedAt: '', token: '' }; // emptied by a power cut: nobody holds it
  }
}
