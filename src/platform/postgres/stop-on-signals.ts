/** The parts of the process that the signal handling touches; a test passes its own. */
export interface SignalledProcess {
  on(signal: NodeJS.Signals, listener: () => void): unknown;
  off(signal: NodeJS.Signals, listener: () => void): unknown;
  exit(code: number): void;
  /** Milliseconds on any steady clock. */
  now(): number;
}

const THIS_PROCESS: SignalledProcess = {
  on: (signal, listener) => process.on(signal, listener),
  off: (signal, listener) => process.off(signal, listener),
  exit: (code) => process.exit(code),
  now: () => performance.now(),
};

/** One Ctrl-C reaches us twice when the starter (npm, a shell) passes it on as well; signals this close together are one. */
const SAME_PRESS_MS = 500;

const EXIT_CODES = { SIGINT: 130, SIGTERM: 143, SIGHUP: 129 } as const;

/**
 * The first Ctrl-C (or SIGTERM, SIGHUP) stops everything in order and ends the process with 0, or with 1 when stopping failed;
 * a second one ends it at once with 128 + the signal's number, as shells expect. A private server that is left running that way is
 * found again by the next start.
 * @param stop stops the service first and the private database last
 * @param tell receives one line for the person at the terminal
 * @returns a function that takes the handlers away again
 */
export function stopOnSignals(
  stop: () => Promise<void>,
  tell: (line: string) => void,
  on: SignalledProcess = THIS_PROCESS,
): () => void {
  let stoppingSince: number | undefined;
  const handlers = (Object.keys(EXIT_CODES) as (keyof typeof EXIT_CODES)[]).map((signal) => {
    const handler = (): void => {
      if (stoppingSince !== undefined) {
        if (on.now() - stoppingSince > SAME_PRESS_MS) on.exit(EXIT_CODES[signal]);
        return;
      }
      stoppingSince = on.now();
      tell('Stopping. Press Ctrl-C again to end at once.');
      stop().then(
        () => on.exit(0),
        (error: unknown) => {
          tell(`Stopping failed: ${error instanceof Error ? error.message : String(error)}`);
          on.exit(1);
        },
      );
    };
    on.on(signal, handler);
    return { signal, handler };
  });
  return () => {
    for (const { signal, handler } of handlers) on.off(signal, handler);
  };
}
