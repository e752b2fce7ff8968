import type pg from 'pg';
import { APP_ROLE } from '../../platform/db/data-source.js';
import { withClient } from '../../platform/postgres/connection.js';
import { readScenario, sampleId } from './scenario.js';

/** What stands in a database of sample mode. `not ours`: it holds tenants, but not the sample ones. */
export type SamplesState = 'empty' | 'partly loaded' | 'loaded' | 'not ours';

/** How much of the samples a migrated database holds. Asks with two statements and no application. @param url address of the owner */
export async function samplesState(url: string): Promise<SamplesState> {
  const { tenants, visits } = readScenario();
  const [tenant] = tenants;
  if (tenant === undefined) return 'not ours';
  return withClient(url, async (client) => {
    if (!(await everHeldTenants(client))) return 'empty';
    await client.query(`set role ${APP_ROLE}`);
    await client.query(`select set_config('app.tenant', $1, false)`, [sampleId('tenant', tenant.code)]);
    const counted = await client.query<{ tenants: string; visits: string }>(
      'select (select count(*) from tenant) as tenants, (select count(*) from visit) as visits',
    );
    const [row] = counted.rows;
    if (Number(row?.tenants ?? 0) === 0) return 'not ours';
    return Number(row?.visits ?? 0) >= visits.filter((visit) => visit.tenant === tenant.code).length
      ? 'loaded'
      : 'partly loaded';
  });
}

/**
 * Whether there are tenants at all. An account that row-level security binds sees none without naming one; then the size of the file that
 * holds them shows whether there ever were any.
 */
async function everHeldTenants(client: pg.Client): Promise<boolean> {
  const { rows } = await client.query<{ sees: boolean; held: boolean; bytes: string }>(
    `select rolsuper or rolbypassrls as sees, exists (select 1 from tenant) as held, pg_relation_size('tenant') as bytes
     from pg_roles where rolname = current_user`,
  );
  const [row] = rows;
  return row?.sees === true ? row.held : Number(row?.bytes ?? 0) > 0;
}
