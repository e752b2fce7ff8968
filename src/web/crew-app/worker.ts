import { drain } from './send/drain.js';

// The page's files are kept by their content; a new version waits until every tab of the old one is closed, so that work in hand is
// never changed under the crew's fingers.

declare const SHELL_FILES: readonly string[];
declare const SHELL_STAMP: string;

interface Lasting extends Event {
  waitUntil(work: Promise<unknown>): void;
}
interface Fetching extends Lasting {
  readonly request: Request;
  respondWith(answer: Promise<Response>): void;
}
interface Worker {
  addEventListener(kind: 'install' | 'activate', listen: (event: Lasting) => void): void;
  addEventListener(kind: 'fetch', listen: (event: Fetching) => void): void;
  addEventListener(kind: 'sync', listen: (event: Lasting & { readonly tag: string }) => void): void;
  addEventListener(kind: 'message', listen: (event: MessageEvent) => void): void;
  skipWaiting(): Promise<void>;
  readonly clients: { claim(): Promise<void> };
}

const worker = globalThis as unknown as Worker;
const SHELL = '/crew';
const NAME = `crew-${SHELL_STAMP}`;
/** Files that are fetched when first needed, such as the scanner; named by their content, so they are never stale. */
const LATER = 'crew-later';

worker.addEventListener('install', (event) => {
  // The files are named by their content, so what the browser has of them already is right and need not come over the air again.
  const wanted = [new Request(SHELL, { cache: 'reload' }), ...SHELL_FILES];
  event.waitUntil(caches.open(NAME).then((cache) => cache.addAll(wanted)));
});

worker.addEventListener('activate', (event) => {
  event.waitUntil(
    caches
      .keys()
      .then((names) =>
        Promise.all(
          names
            .filter((name) => name.startsWith('crew-') && name !== NAME && name !== LATER)
            .map((name) => caches.delete(name)),
        ),
      )
      .then(() => worker.clients.claim()),
  );
});

worker.addEventListener('fetch', (event) => {
  const { method, mode, url } = event.request;
  const { origin, pathname } = new URL(url);
  if (method !== 'GET' || origin !== location.origin) return;
  if (mode === 'navigate') {
    if (pathname === '/visit' || pathname === SHELL || pathname.startsWith(`${SHELL}/`))
      event.respondWith(kept(SHELL, event.request));
  } else if (pathname.startsWith('/crew/files/')) event.respondWith(kept(pathname, event.request));
});

async function kept(path: string, request: Request): Promise<Response> {
  const found = (await (await caches.open(NAME)).match(path)) ?? (await caches.match(path, { cacheName: LATER }));
  if (found !== undefined) return found;
  const answer = await fetch(request);
  if (answer.ok && path !== SHELL) await (await caches.open(LATER)).put(path, answer.clone());
  return answer;
}

worker.addEventListener('sync', (event) => {
  if (event.tag !== 'crew-sending') return;
  event.waitUntil(
    drain().then((how) => {
      // The browser tries again later only when this fails.
      if (how === 'wait') throw new Error('something is still owed');
    }),
  );
});

worker.addEventListener('message', ({ data }) => {
  if (data === 'take-over') void worker.skipWaiting();
});
