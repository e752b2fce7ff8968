import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { CatalogueService } from '../../src/catalogue/catalogue.service.js';
import { ModelRow } from '../../src/catalogue/store/model.entity.js';
import { ModelStore } from '../../src/catalogue/store/model.store.js';
import { ChecklistsService } from '../../src/inspections/checklists.service.js';
import { InspectionAnswerRow, InspectionRow, SafetyStopRow } from '../../src/inspections/store/inspection.entity.js';
import { InspectionStore } from '../../src/inspections/store/inspection.store.js';
import { VisitRow, VisitUnitRow } from '../../src/inspections/store/visit.entity.js';
import { databaseFault } from '../../src/platform/db/database-errors.js';
import { Database, type Scope } from '../../src/platform/db/database.js';
import { PoliciesService } from '../../src/policies/policies.service.js';
import { PolicyVersionStore } from '../../src/policies/store/policy-version.store.js';
import {
  Client,
  crewHand,
  house,
  resourceApp,
  sampleModel,
  shippedJson,
  stock,
  visitBody,
  type House,
} from '../support/resources.js';
import { TEST_START, type TestApp } from '../support/test-app.js';
import { freshDatabase } from '../support/test-database.js';

const data = freshDatabase();
let test: TestApp;
let home: House;
let other: House;
const client = new Client(() => test);
const inScope = <T>(scope: Scope, work: Parameters<Database['inTenant']>[1]): Promise<T> =>
  test.app.get(Database).inTenant(scope, work) as Promise<T>;

beforeAll(async () => {
  test = await resourceApp(data().url);
});
afterAll(() => test.app.close());
beforeEach(async () => {
  home = await house(data());
  other = await house(data());
  await stock(test, home);
});

async function begun(): Promise<{ readonly visit: string; readonly inspection: string }> {
  const visit = (await client.post(home.analyst, '/v1/visits', visitBody())).json<{ id: string }>().id;
  const crew = await crewHand(data(), home.tenant, visit);
  const inspection = randomUUID();
  const startedAt = '2026-03-02T08:30:00Z';
  await client.post(crew, `/v1/visits/${visit}/inspections`, { id: inspection, serial: 'DR7K204518', startedAt });
  const answers = [{ item: 'crew-size', value: 1, answeredAt: startedAt }];
  await client.post(crew, `/v1/inspections/${inspection}/answers`, { answers });
  return { visit, inspection };
}

const ready = (document: { id: string; version: number }) => ({
  document,
  author: home.owner.id,
  publisher: home.secondOwner.id,
  publishedAt: TEST_START.toString(),
});

describe('the walls around what visits bring', () => {
  const KEPT = [VisitRow, VisitUnitRow, InspectionRow, InspectionAnswerRow, SafetyStopRow];
  const counts = (scope: Scope): Promise<number[]> =>
    inScope(scope, async (tx) => {
      const found: number[] = [];
      for (const entity of KEPT) found.push(await tx.count(entity));
      return found;
    });

  it('show a tenant, a retailer and a crew their own rows, without any where clause', async () => {
    const own = await begun();
    const foreign = await begun();
    const strange = randomUUID();
    expect(await counts({ tenant: home.tenant })).toEqual([2, 2, 2, 2, 2]);
    expect(await counts({ tenant: home.tenant, retailer: home.retailer })).toEqual([2, 2, 2, 2, 2]);
    expect(await counts({ tenant: home.tenant, retailer: strange })).toEqual([0, 0, 0, 0, 0]);
    expect(await counts({ tenant: home.tenant, visit: own.visit })).toEqual([1, 1, 1, 1, 1]);
    expect(await counts({ tenant: other.tenant })).toEqual([0, 0, 0, 0, 0]);
    expect(own.visit).not.toBe(foreign.visit);
  });

  it('let nobody write into another visit', async () => {
    const own = await begun();
    const foreign = await begun();
    const answer = inScope({ tenant: home.tenant, visit: own.visit }, (tx) =>
      test.app.get(InspectionStore).append(tx, [
        {
          tenantId: home.tenant,
          inspectionId: foreign.inspection,
          visitId: foreign.visit,
          item: 'crew-size',
          value: 2,
          note: null,
          answeredAt: TEST_START.toString(),
          answeredBy: 'test',
        },
      ]),
    );
    // 42501: new row violates row-level security policy (PostgreSQL appendix A).
    await expect(answer.catch((error: unknown) => databaseFault(error)?.state)).resolves.toBe('42501');
  });
});

describe('answers', () => {
  it('are kept as the JSON that they were: text, number, list, record and null', async () => {
    const { visit, inspection } = await begun();
    const store = test.app.get(InspectionStore);
    const values = ['yes', 'null', 76.2, ['a'], { P: 1 }, null];
    const answers = await inScope<InspectionAnswerRow[]>({ tenant: home.tenant }, async (tx) => {
      await store.append(
        tx,
        values.map((value, index) => ({
          tenantId: home.tenant,
          inspectionId: inspection,
          visitId: visit,
          item: `item-${index}`,
          value,
          note: null,
          answeredAt: TEST_START.toString(),
          answeredBy: 'test',
        })),
      );
      return store.answers(tx, home.tenant, inspection);
    });
    expect(answers.slice(1).map((each) => each.value)).toEqual(values);
  });
});

describe('published documents', () => {
  it('are brought along once, and stay as they are when they come again', async () => {
    const document = shippedJson('inspections', 'lift-chair.1');
    const checklists = test.app.get(ChecklistsService);
    const load = (title: string) =>
      inScope<boolean>({ tenant: home.tenant }, (tx) =>
        checklists.load(tx, home.tenant, ready({ ...document, title: { en: title } } as typeof document)),
      );
    expect(await load('First')).toBe(true);
    expect(await load('Second')).toBe(false);
    const rows = await data().rows(`select title, created_by, published_by from checklist_version where code = $1`, [
      document.id,
    ]);
    expect(rows).toEqual([{ title: 'First', created_by: home.owner.id, published_by: home.secondOwner.id }]);
  });

  it('that decide about money are never published by their author, even past the service', async () => {
    const document = { ...shippedJson('policies', 'us-powered-furniture.1'), version: 2 };
    const load = inScope({ tenant: home.tenant }, (tx) =>
      test.app
        .get(PoliciesService)
        .load(tx, home.tenant, { ...ready(document), publisher: home.owner.id }, '2026-01-01'),
    );
    const constraint = load.catch((error: unknown) => databaseFault(error)?.constraint);
    await expect(constraint).resolves.toBe('policy_version_approver_check');
  });

  it('are found in force by place, then date, then version, inside their tenant', async () => {
    const store = test.app.get(PolicyVersionStore);
    const find = (tenant: string, on: string) =>
      inScope<{ version: number } | null>({ tenant }, (tx) => store.inForce(tx, tenant, ['US-OH', 'US'], on));
    expect(await find(home.tenant, '2024-01-01')).toMatchObject({ version: 1 });
    expect(await find(home.tenant, '2023-12-31')).toBeNull();
    expect(await find(other.tenant, '2026-01-01')).toBeNull();
  });
});

describe('models', () => {
  it('are loaded once each and come back as they went in, their tree in order', async () => {
    const models = [sampleModel(), sampleModel({ sku: 'SECOND' })];
    const catalogue = test.app.get(CatalogueService);
    const load = () => inScope<number>({ tenant: home.tenant }, (tx) => catalogue.loadModels(tx, home.tenant, models));
    expect(await load()).toBe(1);
    expect(await load()).toBe(0);
    const read = await inScope({ tenant: home.tenant }, (tx) => catalogue.modelBySku(tx, home.tenant, 'SECOND'));
    expect(read).toEqual(models[1]);
  });

  it('are replaced as a whole at the version read, or not at all', async () => {
    const store = test.app.get(ModelStore);
    const replace = (title: string) =>
      inScope<boolean>({ tenant: home.tenant }, async (tx) => {
        const stored = await store.bySku(tx, home.tenant, 'OST-DRIFT-Q-US');
        if (stored === undefined) throw new Error('the model is gone');
        return store.replace(tx, home.tenant, { ...stored, version: 1 }, sampleModel({ title, parts: [] }));
      });
    expect(await replace('first')).toBe(true);
    expect(await replace('second')).toBe(false);
    const rows = await inScope<ModelRow[]>({ tenant: home.tenant }, (tx) => tx.find(ModelRow));
    expect(rows).toMatchObject([{ title: 'first', version: 2 }]);
  });

  it('of another tenant are neither found nor changed', async () => {
    const catalogue = test.app.get(CatalogueService);
    const find = inScope({ tenant: other.tenant }, (tx) => catalogue.findBySku(tx, other.tenant, 'OST-DRIFT-Q-US'));
    expect(await find).toBeUndefined();
    const past = inScope({ tenant: other.tenant }, (tx) => catalogue.findBySku(tx, home.tenant, 'OST-DRIFT-Q-US'));
    expect(await past).toBeUndefined();
  });
});
