import { withStore } from '../keep/database.js';

/** `warn`: send what there is before taking more. `full`: no further photo is kept. */
export type Room = 'ok' | 'warn' | 'full';

const MB = 1_000_000;
const WARN_BYTES = 150 * MB;
const FULL_BYTES = 200 * MB;
const LEAST_FREE_BYTES = 300 * MB;

/** How much room there is for photos on this phone. @param held sizes of the photos whose bytes are still here */
export function roomFor(held: number, free: number | undefined): Room {
  if (held >= FULL_BYTES) return 'full';
  return held >= WARN_BYTES || (free !== undefined && free < LEAST_FREE_BYTES) ? 'warn' : 'ok';
}

/** Bytes held, and free as far as the browser says; undefined where it does not. */
export async function storage(): Promise<{ readonly held: number; readonly free: number | undefined }> {
  const photos = await withStore((db) => db.getAll('photos'));
  const held = photos.reduce((sum, { state, size }) => sum + (state === 'here' || state === 'sent' ? size : 0), 0);
  const told = await navigator.storage?.estimate?.().catch(() => undefined);
  const free = told?.quota === undefined ? undefined : told.quota - (told.usage ?? 0);
  return { held, free };
}
