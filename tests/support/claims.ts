import { randomUUID } from 'node:crypto';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, beforeEach, expect } from 'vitest';
import { AdjudicationModule } from '../../src/adjudication/adjudication.module.js';
import { ADJUDICATION_ENTITIES } from '../../src/adjudication/store/holiday-override.entity.js';
import { CatalogueModule } from '../../src/catalogue/catalogue.module.js';
import { CATALOGUE_ENTITIES } from '../../src/catalogue/store/model.entity.js';
import { verifyChain, type ClaimEvent } from '../../src/claims/claims.contract.js';
import { ClaimsModule } from '../../src/claims/claims.module.js';
import { CLAIMS_ENTITIES } from '../../src/claims/store/claim.entity.js';
import { DiagnosisModule } from '../../src/diagnosis/diagnosis.module.js';
import { DIAGNOSIS_ENTITIES } from '../../src/diagnosis/store/evidence-model-version.entity.js';
import { EvidenceModule } from '../../src/evidence/evidence.module.js';
import { EVIDENCE_ENTITIES } from '../../src/evidence/store/evidence.entities.js';
import { InspectionsModule } from '../../src/inspections/inspections.module.js';
import type { AnswerValue } from '../../src/inspections/inspections.contract.js';
import { INSPECTION_ENTITIES } from '../../src/inspections/store/inspections.entities.js';
import { Jobs } from '../../src/platform/jobs/jobs.js';
import { PoliciesModule } from '../../src/policies/policies.module.js';
import { RecoveryModule } from '../../src/recovery/recovery.module.js';
import { POLICY_ENTITIES } from '../../src/policies/store/policy-version.entity.js';
import { aPhoto } from './photo-desk.js';
import { digestOf } from './photo-scene.js';
import { Client, crewHand, hand, house, stock, visitBody, type Answered, type Hand, type House } from './resources.js';
import { testApp, type TestApp, type TestAppOptions } from './test-app.js';
import { freshDatabase, type TestDatabase } from './test-database.js';

/** The serial number of the one unit of `visitBody`. */
export const SERIAL = 'DR7K204518';

/** A price at which a refund needs no second person under the shipped policy (house limit of 500.00), in minor units. */
export const SMALL_PRICE = 30_000;

/** A claim as the API shows it. */
export interface ClaimView {
  readonly id: string;
  readonly number: string | null;
  readonly state: string;
  readonly standing: { readonly says: string; readonly next: string; readonly by: string | null };
  readonly version: number;
  readonly currency: string;
  readonly visitId: string;
}

/** The app up to the claims, on a folder of its own for photos. */
export async function claimsApp(
  db: TestDatabase,
  options: TestAppOptions = {},
): Promise<TestApp & { close(): Promise<void> }> {
  const state = await mkdtemp(join(tmpdir(), 'as-noted-claims-'));
  const test = await testApp(db.url, {
    ...options,
    env: { AS_NOTED_STATE: state, AS_NOTED_POOL_SIZE: '12', AS_NOTED_LOG_LEVEL: 'info', ...options.env },
    modules: [
      CatalogueModule,
      PoliciesModule,
      InspectionsModule,
      EvidenceModule,
      DiagnosisModule,
      AdjudicationModule,
      ClaimsModule,
      RecoveryModule,
      ...(options.modules ?? []),
    ],
    entities: [
      ...CATALOGUE_ENTITIES,
      ...POLICY_ENTITIES,
      ...INSPECTION_ENTITIES,
      ...EVIDENCE_ENTITIES,
      ...DIAGNOSIS_ENTITIES,
      ...ADJUDICATION_ENTITIES,
      ...CLAIMS_ENTITIES,
    ],
  });
  const close = async (): Promise<void> => {
    await test.app.close();
    await rm(state, { recursive: true, force: true });
  };
  return { ...test, close };
}

/** A house with a visit just delivered, its crew, two analysts, and everything people do with claims. */
export class ClaimDesk {
  test: Awaited<ReturnType<typeof claimsApp>>;
  home: House;
  second: Hand;
  visit: string;
  crew: Hand;
  readonly client: Client = new Client(() => this.test);

  constructor(readonly data: () => TestDatabase) {}

  /** Opens a house of its own with one delivered visit. @param price of the unit, in minor units */
  async settle(price = SMALL_PRICE): Promise<void> {
    this.home = await house(this.data());
    await stock(this.test, this.home);
    this.second = await hand(this.data(), this.home.tenant, ['analyst']);
    this.visit = await this.delivered(price);
    this.crew = await crewHand(this.data(), this.home.tenant, this.visit);
  }

  /** Plans a visit and notes its receipt. @returns its id */
  async delivered(price = SMALL_PRICE, over: object = {}): Promise<string> {
    const order = {
      reference: `PS-${randomUUID().slice(0, 8)}`,
      placedOn: '2026-02-10',
      currency: 'USD',
      priceMinor: price,
      taxMinor: 0,
      deliveryMinor: 0,
    };
    const planned = await this.client.post(this.home.analyst, '/v1/visits', visitBody({ order, ...over }));
    expect(planned.statusCode, `answered: ${planned.body}`).toBe(201);
    const { id } = planned.json<{ id: string }>();
    const receipt = { kind: 'clean', deliveredAt: '2026-03-02T08:20:00Z' };
    const received = await this.client.put(this.home.analyst, `/v1/visits/${id}/receipt`, receipt, '"v1"');
    expect(received.statusCode, `answered: ${received.body}`).toBe(200);
    return id;
  }

  /** What a return of the unit is opened with; filed at once unless `over` says otherwise. */
  returnBody(over: object = {}): Record<string, unknown> {
    return {
      id: randomUUID(),
      visitId: this.visit,
      serial: SERIAL,
      ground: 'return',
      returnReason: 'change of mind',
      wish: 'refund',
      noticedAt: '2026-03-02T08:40:00Z',
      file: true,
      ...over,
    };
  }

  open(who: Hand, over: object = {}): Promise<Answered> {
    return this.client.post(who, '/v1/claims', this.returnBody(over));
  }

  /** A filed return, as the crew files it. */
  async filed(over: object = {}, who = this.crew): Promise<ClaimView> {
    const answered = await this.open(who, over);
    expect(answered.statusCode, `answered: ${answered.body}`).toBe(201);
    return answered.json<ClaimView>();
  }

  /** A filed return with the service's proposal. */
  async proposed(over: object = {}, who = this.crew): Promise<ClaimView> {
    const { id } = await this.filed(over, who);
    await this.assess();
    const claim = await this.read(id);
    expect(claim.state).toBe('proposed');
    return claim;
  }

  /** Runs the jobs that wait. */
  assess(): Promise<number> {
    return this.test.app.get(Jobs).workOff();
  }

  async read(id: string, who = this.home.analyst): Promise<ClaimView> {
    return (await this.client.get(who, `/v1/claims/${id}`)).json<ClaimView>();
  }

  /** Does an act on a claim at its current version. @param noun last part of the act's address, e.g. `decisions` */
  async act(who: Hand, id: string, noun: string, body: object = {}): Promise<Answered> {
    const [row] = await this.data().rows<{ version: number }>('select version from claim where id = $1', [id]);
    return this.actAt(who, id, noun, `"v${row?.version ?? 0}"`, body);
  }

  /** Does an act at the version that somebody says to have seen. */
  actAt(who: Hand, id: string, noun: string, seen: string, body: object = {}): Promise<Answered> {
    return this.client.post(who, `/v1/claims/${id}/${noun}`, body, { 'if-match': seen });
  }

  /** Acts one after another, each of which must succeed. @returns the claim afterwards */
  async acts(id: string, ...steps: readonly (readonly [Hand, string, object?])[]): Promise<ClaimView> {
    for (const [who, noun, body] of steps) {
      const answered = await this.act(who, id, noun, body);
      expect(answered.statusCode, `${noun}: ${answered.body}`).toBe(201);
    }
    return this.read(id);
  }

  /** An inspection by the crew that counts the electronics short. @param photos how many of the three it demands. @returns its id */
  async inspected(photos: number = SHORT_PHOTOS.length): Promise<string> {
    const id = randomUUID();
    const begun = { id, serial: SERIAL, startedAt: '2026-03-02T08:25:00Z' };
    const started = await this.client.post(this.crew, `/v1/visits/${this.visit}/inspections`, begun);
    expect(started.statusCode, `answered: ${started.body}`).toBe(201);
    const answers = Object.entries(ELECTRONICS_SHORT).map(([item, value], n) => ({
      item,
      value,
      answeredAt: `2026-03-02T08:26:${String(n).padStart(2, '0')}Z`,
    }));
    const answered = await this.client.post(this.crew, `/v1/inspections/${id}/answers`, { answers });
    expect(answered.statusCode, `answered: ${answered.body}`).toBe(201);
    for (const [item, shows] of SHORT_PHOTOS.slice(0, photos)) {
      const photo = await aPhoto();
      const url = `/v1/inspections/${id}/photos/${randomUUID()}?item=${item}&shows=${shows}`;
      const headers = { 'content-type': 'image/jpeg', 'content-digest': digestOf(photo) };
      const kept = await this.client.send(this.crew, { method: 'PUT', url, payload: photo, headers });
      expect(kept.statusCode, `answered: ${kept.body}`).toBe(201);
    }
    return id;
  }

  /** Codes of a claim's events, in order, after its chain was found whole. */
  async kinds(id: string): Promise<string[]> {
    const events = await this.events(id);
    expect(verifyChain(id, events)).toBeUndefined();
    return events.map(({ kind }) => kind);
  }

  /** A claim's events as they stand in the database. */
  async events(id: string): Promise<ClaimEvent[]> {
    return chainOf(this.data(), id);
  }

  /** How many rows the tables of the claims hold, and the idempotency keys beside them. */
  async counts(): Promise<Record<string, number>> {
    return rowCounts(this.data(), [...CLAIM_TABLES, 'idempotency_key']);
  }
}

const CLAIM_TABLES = [
  'claim',
  'claim_event',
  'claim_assessment',
  'claim_decision',
  'information_request',
  'settlement',
] as const;

/** Rows by table. */
export async function rowCounts(db: TestDatabase, tables: readonly string[]): Promise<Record<string, number>> {
  const counts = tables.map((table) => `(select count(*)::int from ${table}) as "${table}"`);
  const [row] = await db.rows<Record<string, number>>(`select ${counts.join(', ')}`);
  return row ?? {};
}

/** A claim's events as they stand in a database. */
export async function chainOf(db: Pick<TestDatabase, 'rows'>, id: string): Promise<ClaimEvent[]> {
  const rows = await db.rows<Omit<ClaimEvent, 'at'> & { at: Date }>(
    `select claim_id claim, n, kind, at, actor, body, previous_hash "previousHash", hash
     from claim_event where claim_id = $1 order by n`,
    [id],
  );
  return rows.map((row) => ({ ...row, at: row.at.toISOString() }));
}

/** Answers of a crew that found every electronic part missing in a carton that nobody had opened. */
const ELECTRONICS_SHORT: Readonly<Record<string, AnswerValue>> = {
  'crew-size': 2,
  'time-in-use': ['new-today'],
  'carton-marks': ['none'],
  'impact-indicator': ['not-fitted'],
  'tilt-indicator': ['not-fitted'],
  'opened-flat': 'yes',
  'opened-with': ['short-blade'],
  'cut-under-line': 'no',
  'inner-packing': ['none'],
  serial: SERIAL,
  'contents-count': {
    'DR-100': 1,
    'DR-200': 1,
    'DR-210': 1,
    'DR-220': 1,
    'DR-230': 4,
    'DR-300': 6,
    'DR-310': 1,
    'DR-400': 1,
    'DR-410': 1,
    'DR-500': 0,
    'DR-510': 0,
    'DR-520': 0,
    'DR-530': 0,
  },
  'missing-search': ['sealed-bag'],
  'part-numbers': 'yes',
  'frame-damage': ['none'],
  'frame-square': 2,
  'hands-clear': 'yes',
  'turned-by': ['not-turned'],
  'legs-tightened-with': ['not-fitted'],
  'leg-damage': ['none'],
  'steps-followed': 'yes',
  'packaging-kept': 'yes',
  'receipt-kind': ['clean'],
};

const SHORT_PHOTOS = [
  ['contents-count', 'wide'],
  ['contents-count', 'packing-list'],
  ['missing-search', 'close'],
] as const;

/** For the top of a file: one app, and before each test a house of its own in an empty database. */
export function claimDesk(price = SMALL_PRICE): ClaimDesk {
  const desk = new ClaimDesk(freshDatabase());
  beforeAll(async () => {
    desk.test = await claimsApp(desk.data());
  });
  afterAll(() => desk.test.close());
  beforeEach(() => desk.settle(price));
  return desk;
}
