import { randomUUID } from 'node:crypto';
import { expect } from 'vitest';
import type { RecoveryState } from '../../src/recovery/recovery.contract.js';
import { SERIAL, type ClaimDesk } from './claims.js';
import { aPhoto } from './photo-desk.js';
import { digestOf } from './photo-scene.js';
import { crewHand, visitBody, type Answered, type Hand } from './resources.js';

/** A recovery as the API shows it. */
export interface RecoveryView {
  readonly id: string;
  readonly claimId: string;
  readonly reference: string;
  readonly party: string;
  readonly partyName: string;
  readonly state: RecoveryState;
  readonly currency: string;
  readonly demandedMinor: number;
  readonly cutMinor: number;
  readonly cap: { readonly basis: string; readonly limitMinor: number | null };
  readonly needs: readonly { readonly what: string }[];
  readonly paidMinor: number;
  readonly salvageMinor: number;
  readonly writtenOffMinor: number;
  readonly outstandingMinor: number;
  readonly sentAt?: string;
  readonly version: number;
}

/** What putting the bent frame right costs under the sample catalogue: the part 118.00, its freight 54.00 and a visit at 119.00. */
export const BENT_FRAME = 29_100;

/** Answers of a crew that found a frame bent under a crushed place of the carton; the receipt says so. */
const BENT: Readonly<Record<string, unknown>> = {
  'crew-size': 2,
  'time-in-use': ['new-today'],
  'carton-marks': ['face-crushed', 'load-on-top'],
  'impact-indicator': ['not-fitted'],
  'tilt-indicator': ['not-fitted'],
  'opened-flat': 'yes',
  'opened-with': ['short-blade'],
  'cut-under-line': 'no',
  'inner-packing': ['broken'],
  serial: SERIAL,
  'part-numbers': 'yes',
  'frame-damage': ['bent'],
  'damage-lines-up': 'yes',
  'frame-square': 14,
  'turned-by': ['not-turned'],
  'legs-tightened-with': ['not-fitted'],
  'supply-state': 'no',
  'bare-conductor': 'no',
  'plug-traces': ['none'],
  'steps-followed': 'yes',
  'packaging-kept': 'yes',
  'receipt-kind': ['exceptions-noted'],
};

const PHOTOS = [
  ['carton-marks', 'close'],
  ['carton-marks', 'wide'],
  ['inner-packing', 'wide'],
  ['inner-packing', 'close'],
  ['frame-damage', 'wide'],
  ['frame-damage', 'close'],
  ['damage-lines-up', 'wide'],
  ['frame-square', 'close'],
  ['receipt-kind', 'receipt'],
] as const;

const CUSTODY = [
  { stage: 'packed', party: 'maker', condition: 'clean' },
  { stage: 'stored', party: 'seller', condition: 'clean' },
  { stage: 'last mile', party: 'carrier', condition: 'exceptions', at: '2026-03-02T08:20:00Z' },
];

/** A filed and proposed claim for a frame that the carrier bent, as the crew of a visit of its own files it. @returns its id */
export async function bentFrame(desk: ClaimDesk): Promise<string> {
  const { client, home } = desk;
  const planned = must(await client.post(home.analyst, '/v1/visits', visitBody({ custody: CUSTODY })));
  const { id: visit } = planned.json<{ id: string }>();
  const receipt = { kind: 'exceptions noted', words: 'FRAME BENT', deliveredAt: '2026-03-02T08:20:00Z' };
  expect((await client.put(home.analyst, `/v1/visits/${visit}/receipt`, receipt, '"v1"')).statusCode).toBe(200);
  const crew = await crewHand(desk.data(), home.tenant, visit);
  const inspection = randomUUID();
  const begun = { id: inspection, serial: SERIAL, startedAt: '2026-03-02T08:25:00Z' };
  must(await client.post(crew, `/v1/visits/${visit}/inspections`, begun));
  const answers = Object.entries(BENT).map(([item, value], n) => ({
    item,
    value,
    answeredAt: `2026-03-02T08:26:${String(n).padStart(2, '0')}Z`,
  }));
  must(await client.post(crew, `/v1/inspections/${inspection}/answers`, { answers }));
  for (const [item, shows] of PHOTOS) await sendPhoto(desk, crew, { inspection, item, shows });
  const opened = await client.post(crew, '/v1/claims', {
    id: randomUUID(),
    visitId: visit,
    serial: SERIAL,
    inspectionId: inspection,
    ground: 'damage',
    noticedAt: '2026-03-02T08:30:00Z',
    noticeToCarrierAt: '2026-03-02T08:40:00Z',
    file: true,
  });
  await desk.assess();
  return must(opened).json<{ id: string }>().id;
}

async function sendPhoto(
  desk: ClaimDesk,
  crew: Hand,
  of: { readonly inspection: string; readonly item: string; readonly shows: string },
): Promise<void> {
  const photo = await aPhoto();
  const url = `/v1/inspections/${of.inspection}/photos/${randomUUID()}?item=${of.item}&shows=${of.shows}`;
  const headers = { 'content-type': 'image/jpeg', 'content-digest': digestOf(photo) };
  must(await desk.client.send(crew, { method: 'PUT', url, payload: photo, headers }));
}

/** A claim of that kind, decided as proposed, with its recoveries opened. @returns the claim's id */
export async function decidedBentFrame(desk: ClaimDesk): Promise<string> {
  const id = await bentFrame(desk);
  const words = { reason: 'evidence read otherwise', words: 'The photos show it plainly.' };
  await desk.acts(id, [desk.home.analyst, 'decisions', { outcome: 'approved', ...words }]);
  await desk.assess();
  return id;
}

/** The recoveries of a claim. */
export async function recoveriesOf(desk: ClaimDesk, claim: string): Promise<RecoveryView[]> {
  const answer = await desk.client.get(desk.home.analyst, `/v1/claims/${claim}/recoveries`);
  expect(answer.statusCode, `answered: ${answer.body}`).toBe(200);
  return answer.json<{ items: RecoveryView[] }>().items;
}

/** The one recovery on a party. */
export async function recoveryOn(desk: ClaimDesk, claim: string, party: string): Promise<RecoveryView> {
  const found = (await recoveriesOf(desk, claim)).find((each) => each.party === party);
  if (!found) throw new Error(`nothing is demanded of the ${party}`);
  return found;
}

/** Does an act on a recovery at its current version. */
export async function actOn(
  desk: ClaimDesk,
  id: string,
  noun: string,
  body: object = {},
  who?: Hand,
): Promise<Answered> {
  const [row] = await desk.data().rows<{ version: number }>('select version from recovery where id = $1', [id]);
  const seen = { 'if-match': `"v${row?.version ?? 0}"` };
  return desk.client.post(who ?? desk.home.analyst, `/v1/recoveries/${id}/${noun}`, body, seen);
}

/** Acts one after another, each of which must succeed. @returns the recovery after the last */
export async function actsOn(
  desk: ClaimDesk,
  id: string,
  ...steps: readonly (readonly [noun: string, body?: object])[]
): Promise<RecoveryView> {
  let last: Answered | undefined;
  for (const [noun, body] of steps) last = must(await actOn(desk, id, noun, body));
  if (!last) throw new Error('there was no step');
  return last.json<RecoveryView>();
}

/** What the ledger of a claim holds, by account. */
export async function accountsOf(desk: ClaimDesk, claim: string): Promise<Record<string, number>> {
  const rows = await desk.data().rows<{ account: string; sum: string }>(
    `select account, sum(amount_minor)::text as sum from posting where claim_id = $1
     group by account having sum(amount_minor) <> 0 order by account`,
    [claim],
  );
  return Object.fromEntries(rows.map(({ account, sum }) => [account, Number(sum)]));
}

function must(answer: Answered): Answered {
  expect(answer.statusCode, `answered: ${answer.body}`).toBe(201);
  return answer;
}
