import { createHash } from 'node:crypto';
import { accessSync, chmodSync, constants, mkdirSync, readFileSync, realpathSync, statSync } from 'node:fs';
import path from 'node:path';
import { DatabaseUnavailable } from './unavailable.js';

/** The operating-system account the server runs as. */
export interface Account {
  readonly name: string;
  readonly uid: number;
  readonly gid: number;
}

/** Owner and permission bits of one folder. */
export interface FolderRights {
  readonly mode: number;
  readonly uid: number;
  readonly gid: number;
}

/** Reads /etc/passwd: name, password, uid, gid, … separated by colons (passwd(5)). */
export function accountsIn(passwd: string): readonly Account[] {
  return passwd.split('\n').flatMap((line) => {
    const [name, , uid, gid] = line.split(':');
    return name && /^\d+$/.test(uid ?? '') && /^\d+$/.test(gid ?? '')
      ? [{ name, uid: Number(uid), gid: Number(gid) }]
      : [];
  });
}

/**
 * The account for a server started by root, which PostgreSQL refuses to run as: the owner of an existing data folder, else `postgres`,
 * else `nobody`. The account has to be listed, because initdb looks its own name up.
 */
export function accountForRoot(accounts: readonly Account[], dataOwnerUid: number | undefined): Account | undefined {
  if (dataOwnerUid !== undefined && dataOwnerUid !== 0) return accounts.find((each) => each.uid === dataOwnerUid);
  return accounts.find((each) => each.name === 'postgres') ?? accounts.find((each) => each.name === 'nobody');
}

/** True when the account may pass through a folder: the execute bit of the first class (owner, group, others) it belongs to. */
export function mayPass(rights: FolderRights, account: Account): boolean {
  if (rights.uid === account.uid) return (rights.mode & 0o100) !== 0;
  if (rights.gid === account.gid) return (rights.mode & 0o010) !== 0;
  return (rights.mode & 0o001) !== 0;
}

/** Where the server lives and as whom. */
export interface ServerPlace {
  /** Holds our own lock, secret and notes; belongs to whoever starts the service. */
  readonly home: string;
  /** Holds programs, data and log; belongs to the server's account. */
  readonly run: string;
  /** The account to change to; undefined when we are an ordinary user and stay who we are. */
  readonly account: Account | undefined;
}

/**
 * Makes the folders and says who runs the server. Under root the state folder may lie where the unprivileged account cannot reach it
 * (a checkout in root's own home, say); then the server lives in a folder below `sharedRoot` that belongs to this state folder alone.
 * @throws DatabaseUnavailable when root has no account to change to
 */
export function placeServer(stateDir: string, sharedRoot: string): ServerPlace {
  const asRoot = process.getuid?.() === 0;
  const wanted = path.resolve(stateDir);
  makeFolder(wanted, asRoot ? 0o711 : 0o700);
  if (!asRoot) return made(path.join(realpathSync(wanted), 'postgres'), undefined);
  const real = realpathSync(wanted);
  const accounts = accountsIn(readFileSync('/etc/passwd', 'utf8'));
  const shared = path.join(sharedRoot, createHash('sha256').update(real).digest('hex').slice(0, 12));
  const usable = [real, shared]
    .map((root) => {
      const home = path.join(root, 'postgres');
      const dataOwner = ownerOf(path.join(home, 'run', 'data'));
      return { root, home, hasData: dataOwner !== undefined, account: accountForRoot(accounts, dataOwner) };
    })
    .toSorted((a, b) => Number(b.hasData) - Number(a.hasData)); // data stays where it is, even when another place has become usable
  for (const { root, home, account } of usable) {
    if (account === undefined) continue;
    if (root === shared) makeFolder(shared, 0o711);
    if (reachable(root, account)) return made(home, account);
  }
  throw new DatabaseUnavailable(
    usable.every(({ account }) => account === undefined)
      ? 'PostgreSQL does not run as root, and this machine has neither an account "postgres" nor "nobody" to run it as. ' +
          'Start the service as an ordinary user, or set DATABASE_URL.'
      : `The account that would run PostgreSQL can reach neither ${real} nor ${shared}. ` +
          'Set AS_NOTED_STATE to a folder that every account may pass through, or set DATABASE_URL.',
  );
}

function made(home: string, account: Account | undefined): ServerPlace {
  makeFolder(home, account === undefined ? 0o700 : 0o711);
  try {
    accessSync(home, constants.R_OK | constants.W_OK | constants.X_OK);
  } catch {
    throw new DatabaseUnavailable(
      `The database in ${home} belongs to another account. Start the service as that account, ` +
        'or set AS_NOTED_STATE to a folder of your own, or set DATABASE_URL.',
    );
  }
  return { home, run: path.join(home, 'run'), account };
}

function reachable(folder: string, account: Account): boolean {
  for (let at = folder; ; at = path.dirname(at)) {
    if (!mayPass(statSync(at), account)) return false;
    if (at === path.dirname(at)) return true;
  }
}

/** Makes a missing folder with exactly this mode, whatever the umask; an existing one stays as it is. */
function makeFolder(folder: string, mode: number): void {
  try {
    const first = mkdirSync(folder, { recursive: true });
    if (first === undefined) return;
    for (let at = folder; at.length >= first.length; at = path.dirname(at)) chmodSync(at, mode);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    throw new DatabaseUnavailable(
      `The folder ${folder} cannot be made (${code ?? 'unknown error'}). ` +
        'Set AS_NOTED_STATE to a folder you may write to, or set DATABASE_URL.',
    );
  }
}

function ownerOf(file: string): number | undefined {
  return statSync(file, { throwIfNoEntry: false })?.uid;
}
