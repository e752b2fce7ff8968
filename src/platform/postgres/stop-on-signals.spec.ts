import { describe, expect, it } from 'vitest';
import { stopOnSignals } from './stop-on-signals.js';

/** A process that only notes what is done to it. */
function stage() {
  const listeners = new Map<NodeJS.Signals, () => void>();
  const exits: number[] = [];
  let nowMs = 0;
  return {
    exits,
    listeners,
    wait: (ms: number) => (nowMs += ms),
    send: (signal: NodeJS.Signals) => listeners.get(signal)?.(),
    on: (signal: NodeJS.Signals, listener: () => void) => listeners.set(signal, listener),
    off: (signal: NodeJS.Signals) => listeners.delete(signal),
    exit: (code: number) => void exits.push(code),
    now: () => nowMs,
  };
}

describe('stopping on signals', () => {
  it.each(['SIGINT', 'SIGTERM', 'SIGHUP'] as const)('stops everything once on %s and ends with 0', async (signal) => {
    const on = stage();
    const stopped = Promise.withResolvers<void>();
    let stops = 0;
    const stop = async () => {
      stops += 1;
      await stopped.promise;
    };
    stopOnSignals(stop, () => undefined, on);
    on.send(signal);
    on.wait(100); // npm passes the same Ctrl-C on
    on.send(signal);
    expect({ stops, exits: on.exits }).toEqual({ stops: 1, exits: [] });
    stopped.resolve();
    await expect.poll(() => on.exits).toEqual([0]);
  });

  it('ends at once on a second signal, with the code shells expect', () => {
    const on = stage();
    stopOnSignals(
      () => new Promise(() => undefined),
      () => undefined,
      on,
    );
    on.send('SIGINT');
    on.wait(1000);
    on.send('SIGTERM');
    expect(on.exits).toEqual([143]);
  });

  it('tells why stopping failed and ends with 1', async () => {
    const on = stage();
    const told: string[] = [];
    stopOnSignals(
      () => Promise.reject(new Error('the disk is full')),
      (line) => void told.push(line),
      on,
    );
    on.send('SIGINT');
    await expect.poll(() => on.exits).toEqual([1]);
    expect(told.at(-1)).toBe('Stopping failed: the disk is full');
  });

  it('takes its handlers away again', () => {
    const on = stage();
    stopOnSignals(
      () => Promise.resolve(),
      () => undefined,
      on,
    )();
    expect(on.listeners.size).toBe(0);
  });
});
