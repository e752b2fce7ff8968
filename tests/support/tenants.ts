import { randomUUID } from 'node:crypto';
import { hashPassword } from '../../src/access/crypto/password-hash.js';
import type { Role } from '../../src/kernel/vocabulary.js';
import type { TestDatabase } from './test-database.js';

/** The one password of all test people. */
export const PASSWORD = 'quiet lamp over the harbour';

const cheap = hashPassword(PASSWORD);

/** A tenant with nobody in it. @returns its id */
export async function tenant(db: TestDatabase, sample = false): Promise<string> {
  const id = randomUUID();
  await db.rows('insert into tenant (id, name, sample) values ($1, $2, $3)', [id, `Tenant ${id.slice(0, 4)}`, sample]);
  return id;
}

/** A retailer of a tenant. @returns its id */
export async function retailer(db: TestDatabase, tenantId: string): Promise<string> {
  const id = randomUUID();
  await db.rows('insert into retailer (id, tenant_id, name, code) values ($1, $2, $3, $4)', [
    id,
    tenantId,
    'Nordhagen Living',
    id.slice(0, 8),
  ]);
  return id;
}

export interface TestPerson {
  readonly id: string;
  readonly email: string;
}

/** A person with PASSWORD. */
export async function person(
  db: TestDatabase,
  tenantId: string,
  roles: readonly Role[],
  retailerId?: string,
): Promise<TestPerson> {
  const id = randomUUID();
  const email = `p${id.slice(0, 8)}@example.test`;
  await db.rows(
    'insert into person (id, tenant_id, retailer_id, name, email, password_hash, roles) values ($1, $2, $3, $4, $5, $6, $7)',
    [id, tenantId, retailerId ?? null, `Person ${id.slice(0, 4)}`, email, await cheap, roles],
  );
  return { id, email };
}

/** A visit with as little as the table asks for. @returns its id */
export async function visit(db: TestDatabase, tenantId: string, retailerId: string): Promise<string> {
  const [id, carrier] = [randomUUID(), randomUUID()];
  await db.rows('insert into carrier (id, tenant_id, name, code) values ($1, $2, $3, $4)', [
    carrier,
    tenantId,
    'Fjellveg Frakt',
    carrier.slice(0, 8),
  ]);
  await db.rows(
    `insert into visit (id, tenant_id, retailer_id, carrier_id, order_reference, placed_on, currency, price_minor, tax_minor,
       delivery_minor, address, jurisdiction, zone, window_from, window_to, crew_size)
     values ($1, $2, $3, $4, $5, '2026-02-20', 'EUR', 90000, 0, 0, '{}', 'DE', 'Europe/Berlin', '2026-03-02T08:00Z', '2026-03-02T12:00Z', 2)`,
    [id, tenantId, retailerId, carrier, id.slice(0, 8)],
  );
  return id;
}
