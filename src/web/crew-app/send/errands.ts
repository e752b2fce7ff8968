import { factText, MOST_FACTS } from '../../../inspections/phone-facts.contract.js';
import type { PhoneFact, PhoneFactReceipt } from '../../../inspections/phone-facts.contract.js';
import {
  setting,
  STRICT,
  withStore,
  type HeldFact,
  type HeldPhoto,
  type HeldVisit,
  type OwedRow,
} from '../keep/database.js';
import { claimWasTaken, phoneId, photoIsOwed, photoIsSafe, photoWasSent } from '../keep/phone.js';
import { ask, contentDigest, NotThrough, sha256Hex } from './ask.js';

/** Statuses of our own for what no server said: nothing will mend it by itself. */
export const BYTES_CHANGED = 499;

/** Does one errand. Returns when the service has confirmed it by id and hash, and what was owed is crossed out. @throws NotThrough */
export async function run(row: OwedRow, all: readonly OwedRow[], signal: AbortSignal): Promise<void> {
  const visit = await withStore((db) => db.get('visits', row.visit));
  switch (row.kind) {
    case 'fact':
      return bringFacts(row, all, visit);
    case 'claim':
    case 'again':
      return bringClaim(row, visit);
    case 'photo':
      return bringPhoto(row, visit, signal);
    case 'confirm':
      return confirmPhoto(row, visit);
    case 'withdraw':
      return tellWithdrawal(row, visit);
  }
}

async function crossOut(...keys: readonly string[]): Promise<void> {
  await withStore(async (db) => {
    const tx = db.transaction('owed', 'readwrite', STRICT);
    for (const key of keys) void tx.store.delete(key);
    await tx.done;
  });
}

/** All facts of a visit that are owed go together, in their order; a stop takes what came before it along. */
async function bringFacts(row: OwedRow, all: readonly OwedRow[], visit: HeldVisit | undefined): Promise<void> {
  const refs = all.filter(({ kind, visit: of }) => kind === 'fact' && of === row.visit);
  const held = await withStore(async (db) => Promise.all(refs.map(({ ref }) => db.get('facts', ref))));
  const urgent = new Set(refs.filter(({ rank }) => rank === 0).map(({ ref }) => ref));
  const facts = held
    .filter((fact): fact is HeldFact => fact !== undefined)
    .sort((a, b) => Number(urgent.has(b.id)) - Number(urgent.has(a.id)) || a.n - b.n)
    .slice(0, MOST_FACTS);
  const countedTo = (await setting(`n:${row.visit}`)) ?? 0;
  const body = JSON.stringify({
    phone: await phoneId(),
    sentAt: new Date().toISOString(),
    countedTo,
    facts: facts.map(plainFact),
  });
  const told = (await ask(visit, `/v1/visits/${row.visit}/facts`, {
    method: 'POST',
    body,
    headers: { 'content-type': 'application/json' },
  })) as { readonly receipts?: readonly PhoneFactReceipt[] };
  const receipts = new Map((told.receipts ?? []).map((each) => [each.id, each]));
  let confirmed = 0;
  for (const fact of facts) {
    const receipt = receipts.get(fact.id);
    if (receipt === undefined || receipt.sha256 !== (await sha256Hex(factText(plainFact(fact))))) continue;
    await factWasTaken(fact, receipt);
    confirmed += 1;
  }
  if (confirmed < facts.length) throw new NotThrough(0, 'no-receipt', 'No receipt for it.');
}

async function factWasTaken(fact: HeldFact, { state, problem }: PhoneFactReceipt): Promise<void> {
  await withStore(async (db) => {
    const tx = db.transaction(['facts', 'owed'], 'readwrite', STRICT);
    const sent: HeldFact = { ...fact, sent: state, ...(problem === undefined ? {} : { problem }) };
    void tx.objectStore('facts').put(sent);
    void tx.objectStore('owed').delete(`fact:${fact.id}`);
    await tx.done;
  });
}

function plainFact({ id, n, kind, inspection, at, body }: HeldFact): PhoneFact {
  return { id, n, kind, at, body, ...(inspection === undefined ? {} : { inspection }) };
}

async function bringClaim(row: OwedRow, visit: HeldVisit | undefined): Promise<void> {
  const claim = await withStore((db) => db.get('claims', row.ref));
  if (claim === undefined) return crossOut(row.key);
  const told = (await ask(visit, `/v1/claims/${claim.id}`, {
    method: 'PUT',
    body: JSON.stringify({ ...claim.body, noticedAt: await bySharedClock(String(claim.body['noticedAt'])) }),
    headers: { 'content-type': 'application/json' },
  })) as { readonly sentAs?: string; readonly number?: string; readonly addedTo?: boolean };
  const { sentAs, number, addedTo = false } = told;
  if (sentAs !== claim.id || number === undefined) throw new NotThrough(0, 'no-receipt', 'No receipt for it.');
  if (row.kind === 'claim') await claimWasTaken(claim, { number, addedTo });
  else await crossOut(row.key);
}

/** A time by this phone's clock as the service's clock would have shown it, and never later than now. */
async function bySharedClock(instant: string): Promise<string> {
  const ahead = (await setting('aheadMs')) ?? 0;
  const off = Math.abs(ahead) > 60_000 ? ahead : 0;
  return new Date(Math.min(Date.parse(instant) - off, Date.now() - ahead)).toISOString();
}

interface PhotoReceipt {
  readonly id?: string;
  readonly sameAs?: string;
  readonly sha256?: string;
  readonly failure?: string;
  readonly advice?: readonly { readonly says: { readonly en: string; readonly es?: string } }[];
  /** What the label on it says against the visit. */
  readonly label?: { readonly says: { readonly en: string; readonly es?: string } };
}

async function bringPhoto(row: OwedRow, visit: HeldVisit | undefined, signal: AbortSignal): Promise<void> {
  const { photo, bytes } = await withStore(async (db) => ({
    photo: await db.get('photos', row.ref),
    bytes: await db.get('bytes', row.ref),
  }));
  if (photo === undefined || photo.state === 'withdrawn') return crossOut(row.key);
  if (bytes === undefined || (await sha256Hex(bytes)) !== photo.sha256)
    throw new NotThrough(BYTES_CHANGED, 'photo-changed', 'The photo on this phone is damaged. Take it again.');
  const { item, shows, takenAt } = photo;
  const place = new URLSearchParams({ item, shows, ...(takenAt ? { takenAt } : {}) }).toString();
  const told = (await ask(visit, `/v1/inspections/${photo.inspection}/photos/${photo.id}?${place}`, {
    method: 'PUT',
    body: bytes,
    headers: { 'content-type': photo.type, 'content-digest': await contentDigest(bytes) },
    // 8 bytes a millisecond is a bad line; slower than that counts as none.
    timeoutMs: 20_000 + photo.size / 8,
    signal,
  })) as PhotoReceipt;
  if (!namesPhoto(told, photo)) throw new NotThrough(0, 'no-receipt', 'No receipt for it.');
  const advice = [
    ...(told.label ? [told.label.says] : []),
    ...(told.advice ?? []).map(({ says }) => says),
    ...(told.failure ? [{ en: told.failure }] : []),
  ];
  await photoWasSent(photo, { advice, keptAs: told.id ?? photo.id });
}

/** The same bytes may have come under another id before; the hash decides. */
function namesPhoto(told: PhotoReceipt, photo: HeldPhoto): boolean {
  return told.sha256 === photo.sha256 && (told.id === photo.id || told.sameAs !== undefined);
}

async function confirmPhoto(row: OwedRow, visit: HeldVisit | undefined): Promise<void> {
  const photo = await withStore((db) => db.get('photos', row.ref));
  if (photo === undefined || photo.state === 'withdrawn') return crossOut(row.key);
  try {
    const told = (await ask(visit, `/v1/photos/${photo.keptAs ?? photo.id}`, { method: 'GET' })) as PhotoReceipt;
    if (told.sha256 === photo.sha256) await photoIsSafe(photo);
    else await photoIsOwed(photo);
  } catch (error) {
    if (!(error instanceof NotThrough) || error.status !== 404) throw error;
    await photoIsOwed(photo);
    throw new NotThrough(0, 'no-receipt', 'No receipt for it.');
  }
}

async function tellWithdrawal(row: OwedRow, visit: HeldVisit | undefined): Promise<void> {
  try {
    const headers = { 'idempotency-key': `"withdrawal ${row.ref}"` };
    await ask(visit, `/v1/photos/${row.ref}/withdrawal`, { method: 'POST', headers });
  } catch (error) {
    // It never got there, so there is nothing to take back.
    if (!(error instanceof NotThrough) || error.status !== 404) throw error;
  }
  await crossOut(row.key);
}
