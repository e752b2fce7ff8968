import type { CrewPack } from '../../shared/crew-pack.js';
import type { PhoneFact } from '../../../inspections/phone-facts.contract.js';
import { setting, STRICT, withStore, type HeldClaim, type HeldFact, type HeldPhoto, type OwedRow } from './database.js';

/** What the crew did, before it has an id and a number. */
export type Happening = Pick<PhoneFact, 'kind' | 'body'> & { readonly inspection?: string };

/** Ranks of what is owed: stops before everything, photos last. */
const RANK = { stop: 0, fact: 1, claim: 2, photo: 3, confirm: 4, again: 5 } as const;

const channel = typeof BroadcastChannel === 'undefined' ? undefined : new BroadcastChannel('as-noted-crew');

/** Tells every tab and the worker. `stop`: whoever is sending a photo lets go of it. */
export function tell(what: 'changed' | 'stop'): void {
  // oxlint-disable-next-line unicorn/require-post-message-target-origin -- a channel is bound to its origin; only windows take one
  channel?.postMessage(what);
}

/** Hears what other tabs and the worker tell. */
export function onTold(listen: (what: 'changed' | 'stop') => void): void {
  channel?.addEventListener('message', ({ data }) => listen(data as 'changed' | 'stop'));
}

/** The id of this phone, made once. */
export async function phoneId(): Promise<string> {
  const known = await setting('phone');
  if (known !== undefined) return known;
  return withStore(async (db) => {
    const tx = db.transaction('settings', 'readwrite', STRICT);
    const now = ((await tx.store.get('phone')) as string | undefined) ?? crypto.randomUUID();
    await tx.store.put(now, 'phone');
    await tx.done;
    return now;
  });
}

/**
 * Keeps what happened: facts, photos and what is owed for them in one transaction, then reads it back. Only when this has returned may
 * the screen say "On this phone".
 * @throws Error where the phone did not keep it; nothing of it was kept then
 */
export async function keep(
  visit: string,
  happenings: readonly Happening[],
  photo?: { readonly held: HeldPhoto; readonly bytes: ArrayBuffer },
  claim?: HeldClaim,
): Promise<readonly HeldFact[]> {
  const made = await withStore(async (db) => {
    const tx = db.transaction(['facts', 'photos', 'bytes', 'claims', 'owed', 'settings'], 'readwrite', STRICT);
    const settings = tx.objectStore('settings');
    const owed = tx.objectStore('owed');
    let n = Number((await settings.get(`n:${visit}`)) ?? 0);
    let last = Number((await settings.get(`last:${visit}`)) ?? 0);
    const facts: HeldFact[] = [];
    for (const { kind, body, inspection } of happenings) {
      n += 1;
      // Two facts never share an instant, so that their order is the order in which they happened.
      last = Math.max(Date.now(), last + 1);
      const fact: HeldFact = {
        id: crypto.randomUUID(),
        n,
        kind,
        at: new Date(last).toISOString(),
        body,
        visit,
        ...(inspection === undefined ? {} : { inspection }),
      };
      facts.push(fact);
      const rank = kind === 'stop' || kind === 'begin' ? RANK.stop : RANK.fact;
      void tx.objectStore('facts').put(fact);
      void owed.put({
        key: `fact:${fact.id}`,
        kind: 'fact',
        rank,
        ref: fact.id,
        visit,
        since: last,
        tries: 0,
        nextAt: 0,
      });
    }
    void settings.put(n, `n:${visit}`);
    void settings.put(last, `last:${visit}`);
    if (photo !== undefined) {
      void tx.objectStore('photos').put(photo.held);
      void tx.objectStore('bytes').put(photo.bytes, photo.held.id);
      void owed.put(row('photo', photo.held.id, visit));
    }
    if (claim !== undefined) {
      void tx.objectStore('claims').put(claim);
      void owed.put(row('claim', claim.id, visit));
    }
    await tx.done;
    return facts;
  });
  await readBack(made, photo?.held);
  tell(happenings.some(({ kind }) => kind === 'stop') ? 'stop' : 'changed');
  return made;
}

function row(kind: 'photo' | 'claim' | 'confirm' | 'again', ref: string, visit: string): OwedRow {
  const key = kind === 'confirm' ? `photo:${ref}` : `${kind}:${ref}`;
  return { key, kind, rank: RANK[kind], ref, visit, since: Date.now(), tries: 0, nextAt: 0 };
}

async function readBack(facts: readonly HeldFact[], photo: HeldPhoto | undefined): Promise<void> {
  await withStore(async (db) => {
    for (const fact of facts) {
      const found = await db.get('facts', fact.id);
      if (JSON.stringify(found) !== JSON.stringify(fact)) throw new Error('a fact did not read back');
    }
    if (photo === undefined) return;
    const bytes = await db.get('bytes', photo.id);
    if (bytes?.byteLength !== photo.size) throw new Error('a photo did not read back');
  });
}

/** A photo that the service has taken in: what is left is to ask once more, later, before the bytes go. */
export async function photoWasSent(
  photo: HeldPhoto,
  told: Required<Pick<HeldPhoto, 'advice' | 'keptAs'>>,
): Promise<void> {
  await withStore(async (db) => {
    const tx = db.transaction(['photos', 'owed'], 'readwrite', STRICT);
    void tx.objectStore('photos').put({ ...photo, ...told, state: 'sent' });
    void tx.objectStore('owed').put(row('confirm', photo.id, photo.visit));
    await tx.done;
  });
}

/** The service holds the photo for certain: its bytes may go, the small picture stays. */
export async function photoIsSafe(photo: HeldPhoto): Promise<void> {
  await withStore(async (db) => {
    const tx = db.transaction(['photos', 'bytes', 'owed'], 'readwrite', STRICT);
    void tx.objectStore('photos').put({ ...photo, state: 'confirmed' });
    void tx.objectStore('bytes').delete(photo.id);
    void tx.objectStore('owed').delete(`photo:${photo.id}`);
    await tx.done;
  });
}

/** The service lost it, or never had it: it is sent again from the beginning. */
export async function photoIsOwed(photo: HeldPhoto): Promise<void> {
  await withStore(async (db) => {
    const tx = db.transaction(['photos', 'owed'], 'readwrite', STRICT);
    void tx.objectStore('photos').put({ ...photo, state: 'here' });
    void tx.objectStore('owed').put(row('photo', photo.id, photo.visit));
    await tx.done;
  });
}

/** A claim that has its number; where it has photos, the service is asked to look again once they are through. */
export async function claimWasTaken(claim: HeldClaim, told: Pick<HeldClaim, 'number' | 'addedTo'>): Promise<void> {
  await withStore(async (db) => {
    const tx = db.transaction(['claims', 'owed', 'photos'], 'readwrite', STRICT);
    const photos = await tx.objectStore('photos').index('visit').getAll(claim.visit);
    void tx.objectStore('claims').put({ ...claim, ...told });
    void tx.objectStore('owed').delete(`claim:${claim.id}`);
    if (photos.some(({ inspection, state }) => inspection === claim.inspection && state !== 'withdrawn'))
      void tx.objectStore('owed').put(row('again', claim.id, claim.visit));
    await tx.done;
  });
}

/** Takes a photo back: before it was sent it is gone from the phone, afterwards it stays with the service, marked withdrawn. */
export async function withdrawPhoto(photo: HeldPhoto): Promise<void> {
  const { id, visit, inspection, item } = photo;
  await keep(visit, [{ kind: 'withdraw', inspection, body: { photo: id, item } }]);
  await withStore(async (db) => {
    const tx = db.transaction(['photos', 'bytes', 'owed'], 'readwrite', STRICT);
    void tx.objectStore('photos').put({ ...photo, state: 'withdrawn' });
    void tx.objectStore('bytes').delete(id);
    void tx.objectStore('owed').delete(`photo:${id}`);
    // It may be under way at this moment, so the service is told in any case.
    const key = `withdraw:${id}`;
    void tx
      .objectStore('owed')
      .put({ key, kind: 'withdraw', rank: RANK.photo, ref: id, visit, since: Date.now(), tries: 0, nextAt: 0 });
    await tx.done;
  });
  tell('changed');
}

/** Holds a visit's pack, new or renewed. A new key wakes everything that waited for one. */
export async function holdVisit(pack: CrewPack, key: string | undefined): Promise<void> {
  await withStore(async (db) => {
    const tx = db.transaction(['visits', 'owed'], 'readwrite', STRICT);
    const before = await tx.objectStore('visits').get(pack.visit.id);
    const known = key ?? before?.key;
    const held = { id: pack.visit.id, pack, gotAt: Date.now(), ...(known === undefined ? {} : { key: known }) };
    void tx.objectStore('visits').put(held);
    for (const each of await tx.objectStore('owed').getAll())
      if (each.visit === pack.visit.id && each.nextAt > 0) void tx.objectStore('owed').put({ ...each, nextAt: 0 });
    await tx.done;
  });
  tell('changed');
}

/** Takes a visit and everything about it off the phone. Does nothing while something is owed. @returns whether it is gone */
export async function forgetVisit(visit: string): Promise<boolean> {
  const gone = await withStore(async (db) => {
    const names = ['visits', 'facts', 'photos', 'bytes', 'claims', 'owed'] as const;
    const tx = db.transaction(names, 'readwrite', STRICT);
    const owed = await tx.objectStore('owed').getAll();
    if (owed.some((each) => each.visit === visit)) {
      await tx.done;
      return false;
    }
    for (const name of ['facts', 'photos', 'claims'] as const)
      for (const key of await tx.objectStore(name).index('visit').getAllKeys(visit)) {
        void tx.objectStore(name).delete(key);
        if (name === 'photos') void tx.objectStore('bytes').delete(key);
      }
    void tx.objectStore('visits').delete(visit);
    await tx.done;
    return true;
  });
  tell('changed');
  return gone;
}
