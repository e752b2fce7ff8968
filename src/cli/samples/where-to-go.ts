import { newToken } from '../../access/crypto/tokens.js';
import type { Config } from '../../platform/config/config.js';
import { APP_ROLE } from '../../platform/db/data-source.js';
import { withClient } from '../../platform/postgres/connection.js';
import { readScenario, sampleId, type Scenario } from './scenario.js';

/** Where each person goes, as lines for the terminal. In sample mode with the sample people, their phrases and a fresh visit link. */
export async function whereToGo(config: Config, samples: boolean): Promise<string> {
  const lines = [
    '',
    `  ${config.publicUrl}/            the front door`,
    `  ${config.publicUrl}/v1/openapi.json   the interface, OpenAPI 3.1`,
  ];
  if (config.mode !== 'sample' || !samples || config.databaseUrl === undefined) return [...lines, ''].join('\n');
  const scenario = readScenario();
  const link = await crewLink(config, config.databaseUrl, scenario);
  lines.push('', 'Sample people (this mode only; a production start lets none of them in):');
  const shown = scenario.people.filter((person) => person.tenant === scenario.tenants[0]?.code);
  const widest = Math.max(...shown.map((person) => person.email.length));
  for (const { email, phrase, name, roles } of shown) {
    lines.push(`  ${roles.join(', ').padEnd(14)}  ${email.padEnd(widest)}  ${phrase.padEnd(26)}  ${name}`);
  }
  lines.push('', `  Desk and retailer sign in at ${config.publicUrl}/sign-in`);
  if (link !== undefined)
    lines.push('  A crew opens its visit by link, without signing in (valid 72 hours):', `  ${link}`);
  return [...lines, ''].join('\n');
}

/** A fresh link to the first visit that is still to come. */
async function crewLink(config: Config, url: string, scenario: Scenario): Promise<string | undefined> {
  const visit = scenario.visits.find(({ claim }) => claim === null);
  const crew = scenario.crews.find(({ code }) => code === visit?.crew);
  if (visit === undefined || crew === undefined) return undefined;
  const token = newToken('link');
  await withClient(url, async (client) => {
    const tenant = sampleId('tenant', visit.tenant);
    await client.query(`set role ${APP_ROLE}`);
    await client.query(`select set_config('app.tenant', $1, false)`, [tenant]);
    await client.query(
      `insert into visit_link (tenant_id, visit_id, token_hash, crew_name, created_by, expires_at)
       values ($1, $2, $3, $4, 'service:samples load', now() + interval '72 hours')`,
      [tenant, sampleId('visit', visit.code), token.hash, crew.members.join(' and ')],
    );
  });
  return `${config.publicUrl}/visit#${token.text}`;
}
