// Lets one process at a time through. Plain JavaScript for any Node that npm runs on, because it guards the installation itself.
import { randomUUID } from 'node:crypto';
import { linkSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';

/**
 * Runs the work while no other process does work under the same lock file. A lock whose holder has died is taken over.
 * @template T
 * @param {string} file
 * @param {(pid: number) => void} onWait called once when somebody else is at work
 * @param {() => Promise<T> | T} work
 * @returns {Promise<T>}
 */
export async function oneAtATime(file, onWait, work) {
  mkdirSync(path.dirname(file), { recursive: true });
  let release = tryLock(file);
  for (let told = false; release === undefined; release = tryLock(file)) {
    const holder = read(file);
    if (holder && !told) {
      told = true;
      onWait(holder.pid);
    }
    await pause(100);
  }
  try {
    return await work();
  } finally {
    release();
  }
}

/** @returns {(() => void) | undefined} gives the lock back */
function tryLock(file) {
  const mine = { pid: process.pid, startedAt: startOf(process.pid), token: randomUUID() };
  if (!create(file, mine)) {
    const holder = read(file);
    if (holder && isAlive(holder)) return undefined;
    if (holder) reclaim(file, holder.token);
    if (!create(file, mine)) return undefined;
  }
  return () => {
    if (read(file)?.token === mine.token) rmSync(file, { force: true });
  };
}

/** Written aside and linked into place, so the lock is there complete or not at all. */
function create(file, record) {
  const aside = `${file}.${record.token}`;
  writeFileSync(aside, JSON.stringify(record), { flag: 'wx' });
  try {
    linkSync(aside, file);
    return true;
  } catch (error) {
    if (error.code === 'EEXIST') return false;
    throw error;
  } finally {
    rmSync(aside, { force: true });
  }
}

/** Two may find the same dead holder; without a lock of its own the slower one would remove the faster one's new lock. */
function reclaim(file, deadToken) {
  const release = tryLock(`${file}.reclaim`);
  if (release === undefined) return;
  try {
    if (read(file)?.token === deadToken) rmSync(file, { force: true });
  } finally {
    release();
  }
}

function read(file) {
  let text;
  try {
    text = readFileSync(file, 'utf8');
  } catch {
    return undefined;
  }
  try {
    return JSON.parse(text);
  } catch {
    return { pid: 0, startedAt: '', token: undefined }; // emptied by a power cut
  }
}

function isAlive({ pid, startedAt }) {
  if (pid <= 0) return false;
  try {
    process.kill(pid, 0);
  } catch (error) {
    if (error.code !== 'EPERM') return false;
  }
  const start = startOf(pid);
  return start === '' || startedAt === '' || start === startedAt;
}

/** Boot and clock tick of a process's start on Linux (proc(5), field 22), which tell it from a later one with its number; else ''. */
function startOf(pid) {
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, 'utf8');
    const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
    if (fields[0] === 'Z') return 'ended';
    return `${readFileSync('/proc/sys/kernel/random/boot_id', 'utf8').trim()}:${fields[19]}`;
  } catch {
    return '';
  }
}
