import { beforeEach, describe, expect, it } from 'vitest';
import { verifyChain } from '../../src/claims/claims.contract.js';
import { nextEvent } from '../../src/claims/domain/event-chain.js';
import { ClaimEventRow } from '../../src/claims/store/claim.entity.js';
import { contentHash } from '../../src/kernel/canonical-json.js';
import { databaseFault } from '../../src/platform/db/database-errors.js';
import { APP_ROLE } from '../../src/platform/db/data-source.js';
import { Database } from '../../src/platform/db/database.js';
import { claimDesk } from '../support/claims.js';

const desk = claimDesk();
/** SQLSTATE, PostgreSQL manual, appendix "PostgreSQL Error Codes". */
const RESTRICT_VIOLATION = '23001';
const INSUFFICIENT_PRIVILEGE = '42501';
const APPEND_ONLY = ['claim_event', 'claim_assessment'] as const;

let id: string;
beforeEach(async () => {
  ({ id } = await desk.proposed());
});

/** Runs statements past the triggers, as somebody would who holds the keys of the server. */
async function tamper(...statements: readonly string[]): Promise<void> {
  const all = ['set local session_replication_role = replica', ...statements];
  await desk.data().rows(`do $$ begin ${all.map((each) => `${each};`).join(' ')} end $$`);
}
const fault = async (): Promise<string | undefined> => verifyChain(id, await desk.events(id))?.detail;
const stateOf = (error: unknown): string | undefined => databaseFault(error)?.state;

describe.each(APPEND_ONLY)('%s', (table) => {
  it('refuses every change and deletion, even of its owner', async () => {
    for (const statement of [`update ${table} set tenant_id = tenant_id`, `delete from ${table}`]) {
      await expect(desk.data().rows(statement)).rejects.toSatisfy((error) => stateOf(error) === RESTRICT_VIOLATION);
    }
  });

  it('lets the role of the service read and add, and nothing else', async () => {
    const rows = await desk.data().rows<{ privilege: string }>(
      `select privilege_type privilege from information_schema.role_table_grants
       where grantee = $1 and table_name = $2 order by 1`,
      [APP_ROLE, table],
    );
    expect(rows.map(({ privilege }) => privilege)).toEqual(['INSERT', 'SELECT']);
    for (const statement of [`update ${table} set claim_id = claim_id`, `delete from ${table}`, `truncate ${table}`]) {
      const write = desk.test.app.get(Database).inTenant({ tenant: desk.home.tenant }, (tx) => tx.query(statement));
      await expect(write).rejects.toSatisfy((error) => stateOf(error) === INSUFFICIENT_PRIVILEGE);
    }
  });
});

describe('the chain of events', () => {
  it('is made of what the API shows: each hash is SHA-256 over the canonical JSON (RFC 8785) of the rest', async () => {
    const answer = await desk.client.get(desk.home.analyst, `/v1/claims/${id}/events`);
    const { whole, items } = answer.json<{ whole: boolean; items: Record<string, unknown>[] }>();
    expect(whole).toBe(true);
    for (const { hash, ...rest } of items) expect(contentHash({ ...rest, claim: id })).toBe(hash);
    expect(items.map(({ n }) => n)).toEqual([1, 2, 3, 4]);
    expect(items[0]?.['previousHash']).toBe('0'.repeat(64));
  });

  it('has one event for each number, whoever writes it', async () => {
    const [last] = (await desk.events(id)).slice(-1);
    if (last === undefined) throw new Error('no events');
    const { claim: _claim, ...again } = nextEvent({ n: last.n - 1, hash: last.previousHash }, last);
    const write = desk.test.app
      .get(Database)
      .inTenant({ tenant: desk.home.tenant }, (tx) =>
        tx.insert(ClaimEventRow, { ...again, claimId: id, tenantId: desk.home.tenant }),
      );
    await expect(write).rejects.toSatisfy((error) => databaseFault(error)?.constraint === 'claim_event_pkey');
  });

  it.each([
    [
      'a word in a body',
      `update claim_event set body = body || '{"serial": "other"}' where n = 1`,
      'event 1 was altered',
    ],
    ['who did it', `update claim_event set actor = jsonb_set(actor, '{name}', '"Nobody"') where n = 2`, 'event 2 was'],
    ['when it was', `update claim_event set at = at - interval '1 ms' where n = 3`, 'event 3 was altered'],
    ['what it was', `update claim_event set kind = 'claim-decided' where n = 4`, 'event 4 was altered'],
    ['an event taken out', 'delete from claim_event where n = 2', 'event 2 is missing'],
    ['the first taken out', 'delete from claim_event where n = 1', 'event 1 is missing'],
    ['a hash made anew', `update claim_event set hash = repeat('a', 64) where n = 2`, 'event 2 was altered'],
    ['a link bent', `update claim_event set previous_hash = repeat('b', 64) where n = 3`, 'event 3 does not follow'],
    [
      'two events swapped',
      'update claim_event set n = n + 10 where n in (2, 3); update claim_event set n = 15 - n where n > 10',
      'event 2',
    ],
  ])('shows %s, done by somebody with all rights', async (_what, statement, says) => {
    expect(await fault()).toBeUndefined();
    await tamper(statement.replaceAll('where', `where claim_id = '${id}' and`));
    expect(await fault()).toContain(says);
    const answer = await desk.client.get(desk.home.analyst, `/v1/claims/${id}/events`);
    expect(answer.json()).toMatchObject({ whole: false, fault: expect.stringContaining(says) });
  });

  it('shows an altered event also when its own hash was made to fit', async () => {
    const [first] = await desk.events(id);
    if (first === undefined) throw new Error('no events');
    const { hash: _hash, ...rest } = { ...first, body: { ...first.body, ground: 'damage' } };
    const fitted = contentHash(rest);
    await tamper(
      `update claim_event set body = body || '{"ground": "damage"}', hash = '${fitted}' where claim_id = '${id}' and n = 1`,
    );
    expect(await fault()).toContain('event 2 does not follow');
  });

  it('goes with the claim and the assessment it speaks of', async () => {
    const [row] = await desk
      .data()
      .rows<{ facts: object; facts_hash: string; assessment: object }>(
        'select facts, facts_hash, assessment from claim_assessment where claim_id = $1',
        [id],
      );
    const events = await desk.events(id);
    expect(contentHash(row?.facts)).toBe(row?.facts_hash);
    expect(events[2]?.body['facts']).toBe(row?.facts_hash);
    expect(events[3]?.body['assessment']).toBe(contentHash(row?.assessment));
  });
});
