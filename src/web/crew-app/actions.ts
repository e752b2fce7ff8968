import type { Answer } from '../../inspections/inspections.contract.js';
import type { CrewPack } from '../shared/crew-pack.js';
import { current, go, refresh, show } from './app-state.js';
import { askToPersist, sendOwed } from './engine.js';
import { remember, setting, withStore, type HeldPhoto } from './keep/database.js';
import { forgetVisit, holdVisit, keep, type Happening } from './keep/phone.js';
import { shrink } from './photo/shrink.js';
import { ask, NotThrough, sha256Hex } from './send/ask.js';
import { learn } from './words/sayer.js';
import { phoneTime } from './walk/times.js';
import { freshStops, type Inspection } from './walk/inspection.js';

/** How opening a link went; `later`: no signal, the link is kept. */
export type Opened = 'open' | 'later' | 'expired' | 'unknown' | 'down';

/** Changes the secret of a link for the visit it leads to. The secret goes into the phone's store and nowhere else. */
export async function openLink(secret: string): Promise<Opened> {
  const held = current().visits.find(({ key }) => key === secret);
  if (held !== undefined) go(`/crew/visits/${held.id}`, true);
  try {
    const pack = (await ask({ key: secret }, '/crew/pack', { method: 'GET', under: early(secret) })) as CrewPack;
    await holdVisit(pack, secret);
    await remember('pendingLink', '');
    await refresh();
    if (held === undefined) go(`/crew/visits/${pack.visit.id}`, true);
    void sendOwed();
    return 'open';
  } catch (error) {
    if (held !== undefined) return 'open';
    if (!(error instanceof NotThrough)) throw error;
    if (error.status === 401 || error.status === 404) {
      await remember('pendingLink', '');
      return error.code === 'link-expired' ? 'expired' : 'unknown';
    }
    await remember('pendingLink', secret);
    return error.status === 0 ? 'later' : 'down';
  }
}

declare global {
  /** The visit that was asked for before the app was there. */
  // oxlint-disable-next-line no-var -- a global can be declared in no other way
  var earlyVisit: { readonly secret: string; readonly answer: Promise<Response> } | undefined;
}

/** The answer that is under way already, once. */
function early(secret: string): Promise<Response> | undefined {
  const { earlyVisit } = globalThis;
  globalThis.earlyVisit = undefined;
  return earlyVisit?.secret === secret ? earlyVisit.answer : undefined;
}

/** A pack that came just now is not fetched again. */
const FRESH_MS = 20_000;

/** Fetches a visit once more, for what other phones and the office have done since. Without a line what is here stays. */
export async function renew(visitId: string): Promise<'fresh' | 'as it was' | 'expired' | 'not here'> {
  const held = current().visits.find(({ id }) => id === visitId);
  if (held !== undefined && Date.now() - held.gotAt < FRESH_MS) return 'fresh';
  try {
    const pack = (await ask(held, `/crew/pack?visit=${visitId}`, { method: 'GET' })) as CrewPack;
    await holdVisit(pack, held?.key);
    await refresh();
    return 'fresh';
  } catch (error) {
    if (!(error instanceof NotThrough)) throw error;
    if (error.status === 401) return 'expired';
    return held === undefined ? 'not here' : 'as it was';
  }
}

async function done(urgent = false): Promise<void> {
  await refresh();
  void askToPersist();
  void sendOwed(urgent);
}

/** Keeps what happened and begins to send it. @throws Error where the phone did not keep it */
export async function note(visit: string, ...happenings: readonly Happening[]): Promise<void> {
  await keep(visit, happenings);
  await done();
}

/** Begins an inspection. @returns its id */
export async function begin(visit: string, body: Readonly<Record<string, unknown>>): Promise<string> {
  const inspection = crypto.randomUUID();
  await note(visit, { kind: 'begin', inspection, body });
  return inspection;
}

/** Keeps an answer, with the stops it raises. The answer and its stops are one transaction. */
export async function answer(of: Inspection, given: Answer): Promise<void> {
  const stops = freshStops(of, given);
  const { item, value, note: words } = given;
  const inspection = of.id;
  const body = { item, value, ...(words === undefined ? {} : { note: words }) };
  await keep(of.visit.id, [
    { kind: 'answer', inspection, body },
    ...stops.map((stop): Happening => ({ kind: 'stop', inspection, body: { stop, item } })),
  ]);
  await done(stops.length > 0);
}

/**
 * Shrinks a photo and keeps it.
 * @param camera whether it was taken just now; of a photo out of the gallery the phone cannot say when
 * @throws Error where the phone did not keep it
 */
export async function addPhoto(
  of: Inspection,
  place: { readonly item: string; readonly shows: string },
  file: Blob,
  camera: boolean,
) {
  const at = Date.now();
  const { bytes, type, thumb } = await shrink(file);
  const held: HeldPhoto = {
    id: crypto.randomUUID(),
    visit: of.visit.id,
    inspection: of.id,
    ...place,
    type,
    size: bytes.byteLength,
    sha256: await sha256Hex(bytes),
    at,
    thumb,
    state: 'here',
    ...(camera ? { takenAt: phoneTime(at) } : {}),
  };
  const { id: photo, sha256, size } = held;
  const body = { photo, ...place, sha256, bytes: size, type };
  await keep(of.visit.id, [{ kind: 'photo', inspection: of.id, body }], { held, bytes });
  await done();
}

/** What the crew says in a claim. */
export interface ClaimWords {
  readonly ground: string;
  readonly wish?: string;
  readonly words?: string;
  readonly noticedAt: string;
  readonly reason?: string;
}

/** Ends the inspection and sends its claim. A second tap finds the first claim and sends nothing twice. */
export async function sendClaim(of: Inspection, { reason, ...said }: ClaimWords): Promise<void> {
  const before = await withStore((db) => db.getAllFromIndex('claims', 'visit', of.visit.id));
  if (!before.some(({ inspection }) => inspection === of.id)) {
    const id = crypto.randomUUID();
    const inspection = of.id;
    const body = { visitId: of.visit.id, serial: of.unit.serial, inspectionId: inspection, ...said };
    const photos = of.photos.map((photo) => photo.id);
    await keep(
      of.visit.id,
      [
        ...(of.finished ? [] : [ending(inspection, reason)]),
        { kind: 'claim', inspection, body: { claim: id, photos, ...said } },
      ],
      undefined,
      { id, visit: of.visit.id, inspection, body, at: Date.now() },
    );
    await done();
  }
  go(`/crew/inspections/${of.id}/sent`);
}

/** Ends the inspection without a claim. */
export async function endWell(of: Inspection, reason: string | undefined): Promise<void> {
  await note(of.visit.id, ending(of.id, reason));
  go(`/crew/visits/${of.visit.id}`);
}

function ending(inspection: string, reason: string | undefined): Happening {
  return { kind: 'complete', inspection, body: reason === undefined ? {} : { reason } };
}

/** Changes the language, here and the next time. */
export async function speak(lang: 'en' | 'es'): Promise<void> {
  await learn(lang).catch(() => undefined);
  document.documentElement.lang = lang;
  show({ lang });
  await remember('lang', lang);
}

/** Takes a finished visit off the phone. */
export async function remove(visit: string): Promise<void> {
  if (await forgetVisit(visit)) await refresh();
  go('/crew');
}

const DAY_MS = 24 * 60 * 60 * 1000;
const VISIT_DAYS = 14;

/** Whole visits go two weeks after they were fetched, where nothing is owed. */
export async function tidy(): Promise<void> {
  const { visits, owed } = current();
  for (const { id, gotAt } of visits)
    if (Date.now() - gotAt > VISIT_DAYS * DAY_MS && !owed.some((row) => row.visit === id)) await forgetVisit(id);
}

/** A link that was opened without a signal. */
export async function pendingLink(): Promise<string> {
  return (await setting('pendingLink')) ?? '';
}
