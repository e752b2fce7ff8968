import { createHash, randomBytes, randomUUID } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { InjectOptions } from 'fastify';
import { CatalogueModule } from '../../src/catalogue/catalogue.module.js';
import { CatalogueService } from '../../src/catalogue/catalogue.service.js';
import type { Model } from '../../src/catalogue/catalogue.contract.js';
import { CATALOGUE_ENTITIES } from '../../src/catalogue/store/model.entity.js';
import { DiagnosisModule } from '../../src/diagnosis/diagnosis.module.js';
import { EvidenceModelsService } from '../../src/diagnosis/evidence-models.service.js';
import { DIAGNOSIS_ENTITIES } from '../../src/diagnosis/store/evidence-model-version.entity.js';
import { ChecklistsService } from '../../src/inspections/checklists.service.js';
import { InspectionsModule } from '../../src/inspections/inspections.module.js';
import { INSPECTION_ENTITIES } from '../../src/inspections/store/inspections.entities.js';
import type { Role } from '../../src/kernel/vocabulary.js';
import { projectRoot } from '../../src/platform/config/project-root.js';
import { Database } from '../../src/platform/db/database.js';
import { PoliciesModule } from '../../src/policies/policies.module.js';
import { PoliciesService } from '../../src/policies/policies.service.js';
import { POLICY_ENTITIES } from '../../src/policies/store/policy-version.entity.js';
import { demandDocumented } from './documented-problems.js';
import { person, tenant } from './tenants.js';
import { TEST_START, testApp, type TestApp } from './test-app.js';
import type { TestDatabase } from './test-database.js';

/** The app with everything up to diagnosis. */
export function resourceApp(url: string): Promise<TestApp> {
  return testApp(url, {
    modules: [CatalogueModule, PoliciesModule, InspectionsModule, DiagnosisModule],
    entities: [...CATALOGUE_ENTITIES, ...POLICY_ENTITIES, ...INSPECTION_ENTITIES, ...DIAGNOSIS_ENTITIES],
  });
}

/** A credential as request headers, and whose it is. */
export interface Hand {
  readonly id: string;
  readonly headers: Readonly<Record<string, string>>;
}

/** A tenant with two policy owners, an analyst, an administrator, a retailer and a carrier. */
export interface House {
  readonly tenant: string;
  readonly analyst: Hand;
  readonly administrator: Hand;
  readonly owner: Hand;
  readonly secondOwner: Hand;
  readonly retailer: string;
  readonly retailerPerson: Hand;
}

/** Opens a house. Codes are `pellow` for the retailer and `ZZPF` for the carrier, in every house. */
export async function house(db: TestDatabase): Promise<House> {
  const id = await tenant(db);
  const retailer = randomUUID();
  await company(db, id, 'retailer', 'pellow', retailer);
  await company(db, id, 'carrier', 'ZZPF');
  return {
    tenant: id,
    analyst: await hand(db, id, ['analyst']),
    administrator: await hand(db, id, ['administrator']),
    owner: await hand(db, id, ['policy owner']),
    secondOwner: await hand(db, id, ['policy owner']),
    retailer,
    retailerPerson: await hand(db, id, ['retailer'], retailer),
  };
}

/** Adds a retailer or a carrier. @returns its id */
export async function company(
  db: TestDatabase,
  tenantId: string,
  kind: 'retailer' | 'carrier',
  code: string,
  id: string = randomUUID(),
): Promise<string> {
  await db.rows(`insert into ${kind} (id, tenant_id, name, code) values ($1, $2, $3, $4)`, [
    id,
    tenantId,
    `Company ${code}`,
    code,
  ]);
  return id;
}

/** A person who is signed in. */
export async function hand(
  db: TestDatabase,
  tenantId: string,
  roles: readonly Role[],
  retailerId?: string,
): Promise<Hand> {
  const { id } = await person(db, tenantId, roles, retailerId);
  const { text, hash } = secret('ans_');
  await db.rows(
    `insert into session (token_hash, tenant_id, person_id, created_at, last_seen_at, expires_at)
     values ($1, $2, $3, $4, $4, $5)`,
    [hash, tenantId, id, TEST_START.toString(), TEST_START.add({ hours: 12 }).toString()],
  );
  return { id, headers: { authorization: `Bearer ${text}` } };
}

/** An API key with scopes. */
export async function keyHand(
  db: TestDatabase,
  home: House,
  scopes: readonly string[],
  retailerId?: string,
): Promise<Hand> {
  const { text, hash } = secret('ank_');
  const [row] = await db.rows<{ id: string }>(
    `insert into api_key (tenant_id, retailer_id, name, prefix, key_hash, scopes, created_by)
     values ($1, $2, 'test key', 'ank_test', $3, $4, $5) returning id`,
    [home.tenant, retailerId ?? null, hash, scopes, home.administrator.id],
  );
  return { id: row?.id ?? '', headers: { authorization: `Bearer ${text}` } };
}

/** A crew that came by a visit link. */
export async function crewHand(db: TestDatabase, tenantId: string, visitId: string): Promise<Hand> {
  const { text, hash } = secret('anl_');
  const [row] = await db.rows<{ id: string }>(
    `insert into visit_link (tenant_id, visit_id, token_hash, crew_name, created_by, expires_at)
     values ($1, $2, $3, 'Crew Ash', 'test', $4) returning id`,
    [tenantId, visitId, hash, TEST_START.add({ hours: 72 }).toString()],
  );
  return { id: row?.id ?? '', headers: { authorization: `Bearer ${text}` } };
}

function secret(prefix: string): { readonly text: string; readonly hash: Buffer } {
  const text = prefix + randomBytes(32).toString('base64url');
  return { text, hash: createHash('sha256').update(text).digest() };
}

export type Answered = Awaited<ReturnType<TestApp['app']['inject']>>;

/** Sends requests as somebody; every POST gets an Idempotency-Key of its own unless it brings one. */
export class Client {
  private keys = 0;

  constructor(private readonly test: () => TestApp) {}

  get(who: Hand, url: string): Promise<Answered> {
    return this.send(who, { method: 'GET', url });
  }

  post(who: Hand, url: string, payload?: object, headers: Record<string, string> = {}): Promise<Answered> {
    this.keys += 1;
    const key = { 'idempotency-key': `"${randomUUID()}-${this.keys}"` };
    return this.send(who, { method: 'POST', url, ...(payload && { payload }), headers: { ...key, ...headers } });
  }

  put(who: Hand, url: string, payload: object, ifMatch?: string): Promise<Answered> {
    return this.send(who, {
      method: 'PUT',
      url,
      payload,
      headers: ifMatch === undefined ? {} : { 'if-match': ifMatch },
    });
  }

  /** @throws Error when the answer is a problem that the description of the route does not name */
  async send(who: Hand | undefined, options: InjectOptions): Promise<Answered> {
    const answer = await this.test().app.inject({ ...options, headers: { ...who?.headers, ...options.headers } });
    demandDocumented(this.test(), options, answer);
    return answer;
  }
}

/** The last part of a problem's type. */
export function codeOf(answer: Answered): string {
  return answer.json<{ type: string }>().type.replace('/problems/', '');
}

/** Statuses of answers that came in any order, ascending. */
export function statusesOf(answers: readonly Answered[]): number[] {
  return answers.map((answer) => answer.statusCode).sort((a, b) => a - b);
}

/** Pointers of a problem's errors. */
export function pointersOf(answer: Answered): string[] {
  return answer.json<{ errors?: { pointer: string }[] }>().errors?.map((error) => error.pointer) ?? [];
}

/** A document that comes with the service. */
export function shippedJson(module: string, name: string): Record<string, unknown> & { id: string; version: number } {
  const text = readFileSync(join(projectRoot(), 'src', module, 'shipped', `${name}.json`), 'utf8');
  return JSON.parse(text) as Record<string, unknown> & { id: string; version: number };
}

/** The first powered bed base of the sample catalogue, with a code of its own. */
export function sampleModel(over: Partial<Model> = {}): Model {
  const text = readFileSync(join(projectRoot(), 'sample-claims', 'catalogue.json'), 'utf8');
  const { models } = JSON.parse(text) as { models: Model[] };
  const found = models.find((model) => model.sku === 'OST-DRIFT-Q-US');
  if (found === undefined) throw new Error('the sample catalogue has lost its powered bed base');
  return { ...found, ...over };
}

/** Stocks a house with one model, its checklist and evidence model, and the policy of the United States. */
export async function stock(test: TestApp, home: House): Promise<void> {
  const { app } = test;
  const publishedAt = TEST_START.toString();
  const ready = (document: { id: string; version: number }) => ({
    document,
    author: home.owner.id,
    publisher: home.secondOwner.id,
    publishedAt,
  });
  await app.get(Database).inTenant({ tenant: home.tenant }, async (tx) => {
    await app.get(CatalogueService).loadModels(tx, home.tenant, [sampleModel()]);
    await app.get(ChecklistsService).load(tx, home.tenant, ready(shippedJson('inspections', 'bed-base.1')));
    await app.get(EvidenceModelsService).load(tx, home.tenant, ready(shippedJson('diagnosis', 'bed-base.1')));
    await app
      .get(PoliciesService)
      .load(tx, home.tenant, ready(shippedJson('policies', 'us-powered-furniture.1')), '2024-01-01');
  });
}

/** A visit to plan with one unit of the sample model. */
export function visitBody(over: object = {}): Record<string, unknown> {
  return {
    retailer: 'pellow',
    carrier: 'ZZPF',
    order: {
      reference: `PS-${randomUUID().slice(0, 8)}`,
      placedOn: '2026-02-10',
      currency: 'USD',
      priceMinor: 129900,
      taxMinor: 9418,
      deliveryMinor: 9900,
    },
    address: {
      lines: ['418 Larkfield Row'],
      place: 'Mill Hollow, Ohio',
      postcode: '43999',
      country: 'US-OH',
      latitude: 40.1137,
      longitude: -82.8871,
    },
    zone: 'America/New_York',
    windowFrom: '2026-03-02T08:00:00-05:00',
    windowTo: '2026-03-02T12:00:00-05:00',
    crewSize: 2,
    custody: [{ stage: 'packed', party: 'maker', condition: 'clean' }],
    units: [{ sku: 'OST-DRIFT-Q-US', serial: 'DR7K204518' }],
    ...over,
  };
}
