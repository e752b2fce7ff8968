import 'reflect-metadata';
import { NestFactory } from '@nestjs/core';
import type { INestApplicationContext } from '@nestjs/common';
import { AccessService } from '../../access/access.service.js';
import { AppModule } from '../../app.module.js';
import { CatalogueService } from '../../catalogue/catalogue.service.js';
import { EvidenceModelsService } from '../../diagnosis/evidence-models.service.js';
import { ChecklistsService } from '../../inspections/checklists.service.js';
import { StandingClock } from '../../platform/clock.js';
import type { Config } from '../../platform/config/config.js';
import { Database } from '../../platform/db/database.js';
import type { ReadyVersion } from '../../platform/documents/document-lifecycle.js';
import { shippedDocuments, type ShippedKind } from '../../platform/files/shipped-documents.js';
import { openLog } from '../../platform/telemetry/log.js';
import { PoliciesService } from '../../policies/policies.service.js';
import { loadVisit } from './load-visit.js';
import { readSampleModels, readScenario, sampleId, type Scenario } from './scenario.js';

/** When the sample documents came into force: before the first sample delivery. */
const SINCE = '2019-01-01';

/**
 * Loads tenants, people, catalogue, documents, visits and worked claims through the service's own doors, with the clock standing where
 * each thing happened. Ids are fixed, so an interrupted load goes on where it stopped.
 * @param tell receives a line for every slow step
 */
export async function loadSamples(config: Config, tell: (line: string) => void): Promise<void> {
  const began = performance.now();
  const clock = new StandingClock(Temporal.Instant.from(`${SINCE}T00:00:00Z`));
  const app = await openApp(config, clock);
  try {
    const scenario = readScenario();
    tell('Loading the samples: tenants, people, catalogue and documents.');
    for (const tenant of scenario.tenants) await openTenant(app, scenario, tenant.code);
    const worked = scenario.visits.filter((visit) => visit.claim !== null).length;
    tell(`Loading ${worked} worked claims with their photos.`);
    for (const visit of scenario.visits) await loadVisit(app, clock, scenario, visit);
    tell(`Samples loaded (${((performance.now() - began) / 1000).toFixed(1)} s).`);
  } finally {
    await app.close();
  }
}

async function openApp(config: Config, clock: StandingClock): Promise<INestApplicationContext> {
  const log = openLog('warn');
  const app = await NestFactory.createApplicationContext(AppModule.with({ ...config, runs: 'api' }, log, clock), {
    logger: false,
  });
  return app;
}

async function openTenant(app: INestApplicationContext, scenario: Scenario, code: string): Promise<void> {
  const tenant = scenario.tenants.find((each) => each.code === code);
  if (tenant === undefined) throw new Error(`scenario.json has no tenant ${code}`);
  const id = sampleId('tenant', code);
  const access = app.get(AccessService, { strict: false });
  await access.openTenant({ id, name: tenant.name, sample: true });
  const db = app.get(Database, { strict: false });
  await db.inTenant({ tenant: id }, async (tx) => {
    for (const { code: company, name } of scenario.retailers.filter((each) => each.tenant === code)) {
      await tx.query(
        'insert into retailer (id, tenant_id, code, name) values ($1, $2, $3, $4) on conflict do nothing',
        [sampleId('retailer', company), id, company, name],
      );
    }
    for (const { code: company, name } of scenario.carriers.filter((each) => each.tenant === code)) {
      await tx.query('insert into carrier (id, tenant_id, code, name) values ($1, $2, $3, $4) on conflict do nothing', [
        sampleId('carrier', company),
        id,
        company,
        name,
      ]);
    }
    for (const person of scenario.people.filter((each) => each.tenant === code)) {
      const known = await tx.query<unknown[]>('select 1 from person where id = $1', [sampleId('person', person.email)]);
      if (known.length > 0) continue;
      await access.addPerson(id, {
        id: sampleId('person', person.email),
        name: person.name,
        email: person.email,
        password: person.phrase,
        roles: person.roles,
        retailer: person.retailer === undefined ? undefined : sampleId('retailer', person.retailer),
      });
    }
    const models = readSampleModels().filter((model) => tenant.skus === 'all' || tenant.skus.includes(model.sku));
    await app.get(CatalogueService, { strict: false }).loadModels(tx, id, models);
    const checklists = app.get(ChecklistsService, { strict: false });
    for (const ready of documents('checklist', scenario, code)) await checklists.load(tx, id, ready);
    const evidence = app.get(EvidenceModelsService, { strict: false });
    for (const ready of documents('evidence-model', scenario, code)) await evidence.load(tx, id, ready);
    const policies = app.get(PoliciesService, { strict: false });
    for (const ready of documents('policy', scenario, code)) await policies.load(tx, id, ready, SINCE);
  });
}

/** Shipped documents as published by two sample people of the tenant: its policy owners where it has two. */
function documents(kind: ShippedKind, scenario: Scenario, tenant: string): ReadyVersion[] {
  const own = scenario.people.filter((person) => person.tenant === tenant && person.retailer === undefined);
  const owners = own.filter((person) => person.roles.includes('policy owner'));
  const [author, publisher] = owners.length >= 2 ? owners : own;
  if (author === undefined) throw new Error(`tenant ${tenant} has no people to publish documents`);
  return shippedDocuments(kind).map(({ json }) => ({
    document: json as ReadyVersion['document'],
    author: sampleId('person', author.email),
    publisher: sampleId('person', (publisher ?? author).email),
    publishedAt: `${SINCE}T00:00:00.000Z`,
  }));
}
