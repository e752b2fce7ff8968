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
    // Row-level security hides the rows from anybody without a tenant; the file that holds them shows whether there ever were any.
    const used = await client.query<{ bytes: string }>(`select pg_relation_size('tenant') as bytes`);
    if (Number(used.rows[0]?.bytes ?? 0) === 0) return 'empty';
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
