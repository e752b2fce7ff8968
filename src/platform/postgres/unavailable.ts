/**
 * The database cannot be had. The message is meant for the person at the terminal: what happened and what to do.
 * It never holds a password.
 */
export class DatabaseUnavailable extends Error {
  override readonly name = 'DatabaseUnavailable';
}

/** A progress line for the person who waits; each slow step reports one before it begins. */
export type OnProgress = (line: string) => void;
