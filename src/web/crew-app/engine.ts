import { current, refresh, show } from './app-state.js';
import { remember, setting } from './keep/database.js';
import { drain, makeWay, wakeAt } from './send/drain.js';

let timer: ReturnType<typeof setTimeout> | undefined;
let again = false;

/** Sends what is owed, and sets the alarm for the next try. Called after every save, when the page is shown, and when a line comes back. */
export async function sendOwed(urgent = false): Promise<void> {
  if (urgent) makeWay();
  stayAwake();
  if (current().sending) {
    again = true;
    return;
  }
  clearTimeout(timer);
  show({ sending: true });
  try {
    do {
      again = false;
      await drain();
    } while (again);
  } catch {
    // The store was taken away in the middle; the alarm below tries again.
  } finally {
    void awake?.then((lock) => lock?.release()).catch(() => undefined);
    awake = undefined;
    show({ sending: false });
    await refresh().catch(() => undefined);
    await setAlarm();
  }
}

const SOONEST_MS = 200;

async function setAlarm(): Promise<void> {
  const at = await wakeAt().catch(() => Date.now() + 5000);
  if (at === undefined) return;
  timer = setTimeout(() => void sendOwed(), Math.max(SOONEST_MS, at - Date.now()));
  // Where the browser can, it sends even when the page is closed.
  const registration = await navigator.serviceWorker?.getRegistration();
  await (registration as { sync?: { register(tag: string): Promise<void> } } | undefined)?.sync
    ?.register('crew-sending')
    .catch(() => undefined);
}

let awake: Promise<{ release(): Promise<void> } | undefined> | undefined;

/** Best effort: the screen stays on while photos go, also those that come while other things are on their way. */
function stayAwake(): void {
  if (current().owed.some(({ kind }) => kind === 'photo'))
    awake ??= navigator.wakeLock?.request('screen').catch(() => undefined);
}

/** Asks once that the browser keeps what this page stores; never relies on it. */
export async function askToPersist(): Promise<void> {
  if ((await setting('persistAskedAt')) !== undefined) return;
  await remember('persistAskedAt', Date.now());
  await navigator.storage?.persist?.().catch(() => false);
}

/** Starts sending when there is a reason to think that it would work. */
export function watchLine(): void {
  addEventListener('online', () => void sendOwed());
  addEventListener('pageshow', () => void sendOwed());
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') void sendOwed();
  });
}

/** Keeps the page's files for work without a signal, and notes when a new version is ready. */
export async function keepShell(): Promise<void> {
  if (!('serviceWorker' in navigator)) return;
  const registration = await navigator.serviceWorker.register('/crew-worker.js', {
    scope: '/',
    updateViaCache: 'none',
  });
  const look = (): void => {
    if (registration.waiting !== null && navigator.serviceWorker.controller !== null) show({ newVersion: true });
  };
  look();
  registration.addEventListener('updatefound', () => registration.installing?.addEventListener('statechange', look));
  await underWorker();
}

const WORKER_PATIENCE_MS = 15_000;

/** Waits until the worker answers for this page: what is fetched before that is not kept. */
async function underWorker(): Promise<void> {
  if (navigator.serviceWorker.controller !== null) return;
  await new Promise<void>((done) => {
    navigator.serviceWorker.addEventListener('controllerchange', () => done(), { once: true });
    setTimeout(done, WORKER_PATIENCE_MS);
  });
}

/** Takes the new version, where no work is in hand. */
export async function takeNewVersion(): Promise<void> {
  const registration = await navigator.serviceWorker.getRegistration();
  navigator.serviceWorker.addEventListener('controllerchange', () => location.reload(), { once: true });
  registration?.waiting?.postMessage('take-over');
}
