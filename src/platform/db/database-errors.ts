import { QueryFailedError } from 'typeorm';

/** The fields of a PostgreSQL error that decisions are based on. */
export interface DatabaseFault {
  /** SQLSTATE, e.g. 23505. */
  readonly state: string;
  readonly constraint?: string;
}

/** Reads a PostgreSQL error, whether it comes through TypeORM or from pg itself; undefined for anything else. */
export function databaseFault(error: unknown): DatabaseFault | undefined {
  const source: unknown = error instanceof QueryFailedError ? error.driverError : error;
  if (!(source instanceof Error)) return undefined;
  const { code, constraint } = source as { code?: unknown; constraint?: unknown };
  if (typeof code !== 'string' || !/^[0-9A-Z]{5}$/.test(code)) return undefined;
  return { state: code, ...(typeof constraint === 'string' ? { constraint } : {}) };
}

/** Serialisation failure or deadlock: the same transaction may succeed when run again. */
export function isWorthRetrying(error: unknown): boolean {
  const state = databaseFault(error)?.state;
  return state === '40001' || state === '40P01';
}

/** The database cannot be reached, is starting or stopping, or has no connection left. PostgreSQL appendix A, classes 08, 53, 57. */
export function isOutage(error: unknown): boolean {
  const source: unknown = error instanceof QueryFailedError ? error.driverError : error;
  if (!(source instanceof Error)) return false;
  const code = (source as { code?: unknown }).code;
  if (typeof code === 'string') {
    if (/^(ECONNREFUSED|ECONNRESET|ENOTFOUND|EPIPE|ETIMEDOUT)$/.test(code)) return true;
    if (/^(08|53)...$/.test(code) || /^57P0[1-4]$/.test(code)) return true;
  }
  return /^(Connection terminated|timeout exceeded when trying to connect)/.test(source.message);
}

/**
 * Runs a write and answers a violated constraint with an error of ours. The constraint is matched by name, never by message.
 * @param byConstraint makes the error to throw, by constraint name
 */
export async function onConstraint<T>(
  write: Promise<T>,
  byConstraint: Readonly<Record<string, () => Error>>,
): Promise<T> {
  try {
    return await write;
  } catch (error) {
    const constraint = databaseFault(error)?.constraint;
    const make = constraint === undefined ? undefined : byConstraint[constraint];
    throw make === undefined ? error : make();
  }
}
