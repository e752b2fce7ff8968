import { ConfigFaults, loadConfig } from '../../platform/config/config.js';
import { EXIT, type Io } from '../verb.js';
import { dbDown, dbUp, type DbVerbIo } from './db.js';

/** `db up`: starts or joins the private database. */
export function databaseUp(args: readonly string[], io: Io): Promise<number> {
  return withState(io, (state) => dbUp(args, state));
}

/** `db down`: stops the private database. */
export function databaseDown(args: readonly string[], io: Io): Promise<number> {
  return withState(io, (state) => dbDown(args, state));
}

async function withState(io: Io, work: (io: DbVerbIo) => Promise<number>): Promise<number> {
  try {
    const { stateDir } = loadConfig(process.env);
    return await work({ out: io.out, err: io.err, stateDir });
  } catch (error) {
    if (!(error instanceof ConfigFaults)) throw error;
    for (const fault of error.faults) io.err(fault);
    return EXIT.badInput;
  }
}
