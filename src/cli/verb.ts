/** What a verb needs from the command line around it. */
export interface Io {
  /** One line, or one JSON text, for programs to read (standard output). */
  readonly out: (line: string) => void;
  /** One line for people to read (standard error). */
  readonly err: (line: string) => void;
  /** Everything on standard input. */
  readonly stdin: () => Promise<Uint8Array>;
}

/** Exit codes of every verb. */
export const EXIT = {
  /** Done, nothing to report. */
  ok: 0,
  /** Done, and something needs a person. */
  findings: 1,
  /** The input or the command line is wrong. */
  badInput: 2,
  /** The program itself failed. */
  failed: 3,
} as const;

/** One verb of the command line. */
export interface Verb {
  /** One line for the list of verbs. */
  readonly summary: string;
  /** What follows `as-noted` on the command line, and what each part means. */
  readonly usage: string;
  /** @returns exit code */
  readonly run: (args: readonly string[], io: Io) => Promise<number>;
}

/** The command line cannot be understood; the message says what to change. */
export class Misused extends Error {
  override readonly name = 'Misused';
}
