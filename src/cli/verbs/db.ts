import { startPrivateServer, stopPrivateServer } from '../../platform/postgres/private-server.js';
import { DatabaseUnavailable } from '../../platform/postgres/unavailable.js';

/** What the verbs need from the command line around them. */
export interface DbVerbIo {
  /** One line for programs to read (standard output). */
  readonly out: (line: string) => void;
  /** One line for people to read (standard error). */
  readonly err: (line: string) => void;
  /** The state folder, from the configuration. */
  readonly stateDir: string;
}

const DONE = 0;
const FAILED = 1;
const MISUSED = 2;

/**
 * `db up`: starts the private database, or joins it, and leaves it up when the command ends. Prints one line of JSON:
 * url (with password), version, source ("embedded" or "system"), attached (true when it was up already), home.
 * @returns exit code: 0 done, 1 no database to be had, 2 wrong arguments
 */
export async function dbUp(args: readonly string[], io: DbVerbIo): Promise<number> {
  if (args.length > 0) return misuse('db up takes no arguments.', io);
  return guarded(io, async () => {
    const { url, version, source, attached, home } = await startPrivateServer({
      stateDir: io.stateDir,
      onProgress: io.err,
      staysUp: true,
    });
    io.out(JSON.stringify({ url, version, source, attached, home }));
    return DONE;
  });
}

/**
 * `db down [--force]`: stops the private database. While other processes use it, it goes on and stops when they leave;
 * `--force` stops it under them.
 * @returns exit code: 0 stopped or not running, 1 still in use or failed, 2 wrong arguments
 */
export async function dbDown(args: readonly string[], io: DbVerbIo): Promise<number> {
  const force = args.includes('--force');
  if (args.some((each) => each !== '--force')) return misuse('db down takes no arguments but --force.', io);
  return guarded(io, async () => {
    const end = await stopPrivateServer({ stateDir: io.stateDir, onProgress: io.err, force });
    if (!end.stopped) {
      io.err(
        `The database is still used by ${end.usedBy.length === 1 ? 'process' : 'processes'} ${end.usedBy.join(', ')} ` +
          'and stops when the last of them ends. Use --force to stop it now.',
      );
      return FAILED;
    }
    io.out(JSON.stringify({ stopped: true, wasRunning: end.wasRunning }));
    return DONE;
  });
}

function misuse(sentence: string, io: DbVerbIo): number {
  io.err(sentence);
  return MISUSED;
}

async function guarded(io: DbVerbIo, work: () => Promise<number>): Promise<number> {
  try {
    return await work();
  } catch (error) {
    if (!(error instanceof DatabaseUnavailable)) throw error;
    io.err(error.message);
    return FAILED;
  }
}
