import { setting, withStore, type OwedRow } from '../keep/database.js';
import { onTold, tell } from '../keep/phone.js';
import { isPassing, NotThrough } from './ask.js';
import { run } from './errands.js';

/** `busy`: another tab or the worker is at it. `wait`: something is owed, and its time has not come. */
export type Drained = 'busy' | 'empty' | 'wait';

const FIRST_PAUSE_MS = 500;
const LONGEST_PAUSE_MS = 60_000;
/** After a refusal that a person has to look at. */
const HARD_PAUSE_MS = 60_000;
const LOCK = 'as-noted-crew-sending';

let inFlight: AbortController | undefined;
let stopCame = false;

onTold((what) => {
  if (what === 'stop') makeWay();
});

/** A safety stop does not wait for a photo: what is under way is let go and sent again later. */
export function makeWay(): void {
  if (inFlight === undefined) return;
  stopCame = true;
  inFlight.abort();
}

/** Sends what is owed, one thing at a time, by whoever holds the lock: a page, a second tab or the worker. */
export async function drain(): Promise<Drained> {
  if (!('locks' in navigator)) return sendAll();
  return navigator.locks.request(LOCK, { ifAvailable: true }, (lock) =>
    lock === null ? Promise.resolve<Drained>('busy') : sendAll(),
  );
}

async function sendAll(): Promise<Drained> {
  // Once one thing is through, the line is there, and whatever failed for want of one need not wait any longer.
  let line = false;
  for (;;) {
    const all = await withStore((db) => db.getAll('owed'));
    if (all.length === 0) return 'empty';
    const row = nextErrand(all, line, Date.now());
    if (row === undefined) return 'wait';
    try {
      inFlight = new AbortController();
      await run(row, all, inFlight.signal);
      line = true;
    } catch (error) {
      if (stopCame) {
        stopCame = false;
        continue;
      }
      line = false;
      const status = await putOff(row, error);
      if (status === 0) return 'wait';
    } finally {
      inFlight = undefined;
      tell('changed');
    }
  }
}

/** Whether a refusal waits for a person: a new link, another photo. */
export function isHard({ trouble }: Pick<OwedRow, 'trouble'>): boolean {
  return trouble !== undefined && !isPassing(trouble.status);
}

/**
 * What is sent next: by rank, then in the order in which it was kept. A claim waits for the facts of its visit, and a photo for the
 * beginning of its inspection, because the service would not know what they belong to.
 */
export function nextErrand(all: readonly OwedRow[], line: boolean, now: number): OwedRow | undefined {
  const due = all.filter((row) => row.nextAt <= now || (line && !isHard(row)));
  return due
    .filter((row) => {
      if (row.kind === 'fact') return true;
      const before = all.filter((other) => other.visit === row.visit && other.kind === 'fact' && !isHard(other));
      if (row.kind === 'again')
        return !all.some((other) => other.visit === row.visit && other.rank < row.rank && !isHard(other));
      return before.length === 0;
    })
    .toSorted((a, b) => a.rank - b.rank || a.tries - b.tries || a.since - b.since)[0];
}

async function putOff(row: OwedRow, error: unknown): Promise<number> {
  const refused = error instanceof NotThrough ? error : undefined;
  const status = refused?.status ?? 0;
  const tries = row.tries + 1;
  const longest = (await setting('longestPauseMs')) ?? LONGEST_PAUSE_MS;
  const pause = isPassing(status) ? Math.min(longest, FIRST_PAUSE_MS * 2 ** Math.min(tries, 7)) : HARD_PAUSE_MS;
  const nextAt = Date.now() + Math.max(refused?.retryAfterMs ?? 0, pause * (0.5 + Math.random() / 2));
  const trouble = { status, code: refused?.code ?? 'unknown', says: refused?.says ?? String(error) };
  await withStore(async (db) => {
    const tx = db.transaction('owed', 'readwrite');
    // A link that does not count holds back everything of its visit, and facts go together; the rest goes its own way.
    const shared = (other: OwedRow): boolean =>
      other.visit === row.visit && (status === 401 || (row.kind === 'fact' && other.kind === 'fact'));
    // What was confirmed or taken back meanwhile is not there any more.
    for (const other of await tx.store.getAll())
      if (other.key === row.key || shared(other)) void tx.store.put({ ...other, tries, nextAt, trouble });
    await tx.done;
  });
  return status;
}

/** When something should be tried next; undefined when nothing is owed. */
export async function wakeAt(): Promise<number | undefined> {
  const all = await withStore((db) => db.getAll('owed'));
  return all.length === 0 ? undefined : Math.min(...all.map(({ nextAt }) => nextAt));
}
