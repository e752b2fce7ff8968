import { readdirSync, readFileSync, rmSync } from 'node:fs';
import { mkdir, readFile, rename, rm, writeFile } from 'node:fs/promises';
import path from 'node:path';
import type { BinarySource } from './choose-binaries.js';
import { isAlive, ownIdentity } from './process-facts.js';
import type { ProcessIdentity } from './process-facts.js';

/** What the starter of a server writes down for those who come later. */
export interface ServerNote {
  readonly port: number;
  readonly source: BinarySource;
  readonly bin: string;
  readonly major: number;
  /** "18.4" */
  readonly version: string;
}

/** Reads the note; undefined when there is none that can be read. */
export async function readNote(home: string): Promise<ServerNote | undefined> {
  try {
    return JSON.parse(await readFile(path.join(home, 'server.json'), 'utf8')) as ServerNote;
  } catch {
    return undefined;
  }
}

/** Writes the note as a whole or not at all. */
export async function writeNote(home: string, note: ServerNote): Promise<void> {
  const aside = path.join(home, 'server.json.new');
  await writeFile(aside, JSON.stringify(note), { mode: 0o600 });
  await rename(aside, path.join(home, 'server.json'));
}

const STAYS = 'stays-up';

/**
 * Signs this process in as a user of the server; the last user to leave stops it. All sign-ins happen under the lock.
 * @param stays keep the server up without any process, until it is stopped by name
 * @returns the name to sign out with
 */
export async function signIn(home: string, stays: boolean, token: string): Promise<string> {
  const folder = path.join(home, 'users');
  await mkdir(folder, { recursive: true, mode: 0o700 });
  const name = stays ? STAYS : `${process.pid}-${token}`;
  await writeFile(path.join(folder, name), JSON.stringify(ownIdentity()), { mode: 0o600 });
  return name;
}

/** Takes a user off the list. */
export async function signOut(home: string, name: string): Promise<void> {
  await rm(path.join(home, 'users', name), { force: true });
}

/** Takes the wish to stay up off the list. */
export function endStay(home: string): Promise<void> {
  return signOut(home, STAYS);
}

/** Who still uses the server. Processes that died without signing out are struck off. */
export function usersOf(home: string): { readonly stays: boolean; readonly pids: readonly number[] } {
  const folder = path.join(home, 'users');
  let stays = false;
  const pids: number[] = [];
  for (const name of namesIn(folder)) {
    if (name === STAYS) stays = true;
    else {
      const user = identityIn(path.join(folder, name));
      if (user !== undefined && isAlive(user)) pids.push(user.pid);
      else rmSync(path.join(folder, name), { force: true });
    }
  }
  return { stays, pids };
}

function namesIn(folder: string): readonly string[] {
  try {
    return readdirSync(folder);
  } catch {
    return [];
  }
}

function identityIn(file: string): ProcessIdentity | undefined {
  try {
    return JSON.parse(readFileSync(file, 'utf8')) as ProcessIdentity;
  } catch {
    return undefined;
  }
}
