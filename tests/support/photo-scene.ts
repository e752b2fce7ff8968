import { createHash, randomUUID } from 'node:crypto';
import { mkdtemp, readdir, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { newToken } from '../../src/access/crypto/tokens.js';
import { CatalogueModule } from '../../src/catalogue/catalogue.module.js';
import { ModelPartRow, ModelRow, ModelWarrantyRow } from '../../src/catalogue/store/model.entity.js';
import { EvidenceModule } from '../../src/evidence/evidence.module.js';
import { EVIDENCE_ENTITIES } from '../../src/evidence/store/evidence.entities.js';
import { InspectionsModule } from '../../src/inspections/inspections.module.js';
import { INSPECTION_ENTITIES } from '../../src/inspections/store/inspections.entities.js';
import { contentHash } from '../../src/kernel/canonical-json.js';
import type { Role } from '../../src/kernel/vocabulary.js';
import { Jobs } from '../../src/platform/jobs/jobs.js';
import { person, retailer, tenant, visit } from './tenants.js';
import { testApp, TEST_START, type TestApp } from './test-app.js';
import type { TestDatabase } from './test-database.js';

/** A checklist with one item that asks for three photos and one that asks for none. */
const CHECKLIST = {
  format: 'checklist/1',
  id: 'two-items',
  version: 1,
  family: 'powered bed base',
  title: { en: 'Two items' },
  cautions: [{ en: 'Lift with two people.' }],
  sections: [
    {
      id: 'carton',
      title: { en: 'Carton' },
      items: [
        {
          id: 'carton-front',
          ask: { en: 'Is the front dented?' },
          answer: { type: 'yes-no' },
          photos: [
            { id: 'wide', says: { en: 'The whole face.' } },
            { id: 'close', says: { en: 'The dent.' } },
            { id: 'serial-plate', says: { en: 'The whole plate.' } },
          ],
        },
        { id: 'carton-note', ask: { en: 'Anything else?' }, answer: { type: 'text', maxLength: 100 } },
      ],
    },
  ],
  stops: [],
};

/** The evidence module with everything to its left, on a folder of its own. */
export async function photoApp(
  db: TestDatabase,
  env: Readonly<Record<string, string>> = {},
): Promise<TestApp & { close(): Promise<void>; workOff(): Promise<number> }> {
  const state = await mkdtemp(join(tmpdir(), 'as-noted-photos-'));
  const started = await testApp(db.url, {
    env: { AS_NOTED_STATE: state, AS_NOTED_LOG_LEVEL: 'info', ...env },
    modules: [CatalogueModule, InspectionsModule, EvidenceModule],
    entities: [ModelRow, ModelPartRow, ModelWarrantyRow, ...INSPECTION_ENTITIES, ...EVIDENCE_ENTITIES],
  });
  const close = async () => {
    await started.app.close();
    await rm(state, { recursive: true, force: true });
  };
  return { ...started, close, workOff: () => started.app.get(Jobs).workOff() };
}

/** Every file under the state folder, by its path inside. */
export async function keptFiles({ config }: TestApp): Promise<string[]> {
  const found = await readdir(config.stateDir, { recursive: true, withFileTypes: true });
  return found
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name).slice(config.stateDir.length + 1))
    .sort();
}

export interface Place {
  readonly tenant: string;
  readonly retailer: string;
  readonly visit: string;
  readonly inspection: string;
}

/** A visit with one inspection under way. @param within tenant and retailer of an earlier place, for a second visit there */
export async function placeWithInspection(
  db: TestDatabase,
  within?: Pick<Place, 'tenant' | 'retailer'>,
): Promise<Place> {
  const tenantId = within?.tenant ?? (await tenant(db));
  const retailerId = within?.retailer ?? (await retailer(db, tenantId));
  const visitId = await visit(db, tenantId, retailerId);
  const [model, unit, checklist, inspection] = [randomUUID(), randomUUID(), randomUUID(), randomUUID()];
  await db.rows(
    `insert into model (id, tenant_id, sku, title, family, maker, gross_grams, net_grams, serial_pattern, currency, unit_cost_minor,
       unit_freight_minor, visit_cost_minor, salvage_bp, checklist, evidence_model)
     values ($1, $2, $3, 'Base', 'powered bed base', 'Halde', 50000, 45000, '.*', 'EUR', 30000, 4000, 6000, 1000, 'two-items', 'bed-base')`,
    [model, tenantId, model.slice(0, 8)],
  );
  await db.rows('insert into visit_unit (id, tenant_id, visit_id, model_id, serial) values ($1, $2, $3, $4, $5)', [
    unit,
    tenantId,
    visitId,
    model,
    'S-1',
  ]);
  const publisher = await person(db, tenantId, ['policy owner']);
  await db.rows(
    `insert into checklist_version (id, tenant_id, code, version, title, body, hash, published_at, published_by)
     values ($1, $2, $3, 1, 'Two items', $4, $5, $6, $7)`,
    [
      checklist,
      tenantId,
      checklist.slice(0, 8),
      CHECKLIST,
      contentHash(CHECKLIST),
      TEST_START.toString(),
      publisher.id,
    ],
  );
  await db.rows(
    `insert into inspection (id, tenant_id, visit_id, unit_id, checklist_version_id, crew_size, started_at, started_by)
     values ($1, $2, $3, $4, $5, 2, $6, 'link:x')`,
    [inspection, tenantId, visitId, unit, checklist, TEST_START.toString()],
  );
  return { tenant: tenantId, retailer: retailerId, visit: visitId, inspection };
}

/** Headers of somebody with these roles, signed in. */
export async function signedIn(
  db: TestDatabase,
  place: Place,
  roles: readonly Role[],
): Promise<{ authorization: string }> {
  const { id } = await person(db, place.tenant, roles, roles.includes('retailer') ? place.retailer : undefined);
  const token = newToken('session');
  await db.rows(
    'insert into session (token_hash, tenant_id, person_id, created_at, last_seen_at, expires_at) values ($1, $2, $3, $4, $4, $5)',
    [token.hash, place.tenant, id, TEST_START.toString(), TEST_START.add({ hours: 12 }).toString()],
  );
  return { authorization: `Bearer ${token.text}` };
}

/** Headers of the crew that holds a link to the visit. */
export async function crewOf(db: TestDatabase, place: Place): Promise<{ authorization: string }> {
  const token = newToken('link');
  await db.rows(
    `insert into visit_link (tenant_id, visit_id, token_hash, crew_name, created_by, expires_at) values ($1, $2, $3, 'Mara and Ole', 'x', $4)`,
    [place.tenant, place.visit, token.hash, TEST_START.add({ hours: 72 }).toString()],
  );
  return { authorization: `Bearer ${token.text}` };
}

/** A filed claim on the inspection. */
export async function claimOn(db: TestDatabase, place: Place): Promise<void> {
  await db.rows(
    `insert into claim (id, tenant_id, retailer_id, visit_id, unit_id, inspection_id, state, ground, noticed_at, currency, created_by, filed_by, filed_at, number)
     select $1, i.tenant_id, $2, i.visit_id, i.unit_id, i.id, 'filed', 'damage', $3, 'EUR', 'link:x', 'link:x', $3, $5 from inspection i where i.id = $4`,
    [randomUUID(), place.retailer, TEST_START.toString(), place.inspection, '482177305'],
  );
}

/** The Content-Digest field of some bytes (RFC 9530). */
export function digestOf(content: Uint8Array): string {
  return `sha-256=:${createHash('sha256').update(content).digest('base64')}:`;
}
