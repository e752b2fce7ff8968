import type { QueryRunner } from 'typeorm';

/** The role that the service works under. It owns nothing, so row-level security binds it; created by the migration runner. */
export const APP_ROLE = 'as_noted_app';

const TENANT = `nullif(current_setting('app.tenant', true), '')::uuid`;
const RETAILER = `nullif(current_setting('app.retailer', true), '')::uuid`;
const VISIT = `nullif(current_setting('app.visit', true), '')::uuid`;

/** Which narrower scopes a table honours beside the tenant, as columns of its own. */
export interface Narrowing {
  /** Column holding the retailer; a session bound to one retailer sees only its rows. */
  readonly retailer?: string;
  /** Column holding the visit; a visit link sees only its own rows. */
  readonly visit?: string;
  /** Column through which a retailer's session reaches the row: it must see that visit. */
  readonly throughVisit?: string;
  /** Extra condition under which a row may be found before the tenant is known, e.g. by the hash of a presented secret. */
  readonly orFoundBy?: string;
  readonly grants?: string;
}

/** Puts the second wall around a table: row-level security, forced, by tenant and by the narrower scopes given. */
export async function wall(run: QueryRunner, table: string, narrowing: Narrowing = {}): Promise<void> {
  const parts = [`tenant_id = ${TENANT}`];
  if (narrowing.retailer) parts.push(`(${RETAILER} is null or ${narrowing.retailer} = ${RETAILER})`);
  if (narrowing.visit) parts.push(`(${VISIT} is null or ${narrowing.visit} = ${VISIT})`);
  if (narrowing.throughVisit) {
    parts.push(
      `(${RETAILER} is null or exists (select 1 from visit seen where seen.id = ${table}.${narrowing.throughVisit}))`,
    );
  }
  const own = parts.join(' and ');
  const visible = narrowing.orFoundBy ? `(${own}) or (${TENANT} is null and ${narrowing.orFoundBy})` : own;
  await run.query(`alter table ${table} enable row level security`);
  await run.query(`alter table ${table} force row level security`);
  await run.query(`create policy ${table}_wall on ${table} using (${visible}) with check (${own})`);
  await run.query(`grant ${narrowing.grants ?? 'select, insert, update, delete'} on ${table} to ${APP_ROLE}`);
}

/** Runs statements in order. */
export async function each(run: QueryRunner, statements: readonly string[]): Promise<void> {
  for (const statement of statements) await run.query(statement);
}
