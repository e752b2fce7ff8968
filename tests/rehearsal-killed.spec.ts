import { fork } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { describe, expect, it } from 'vitest';
import { APP_ROLE, underRole } from '../src/platform/db/data-source.js';
import { projectRoot } from '../src/platform/config/project-root.js';
import { Jobs } from '../src/platform/jobs/jobs.js';
import { claimDesk } from './support/claims.js';
import { shippedJson } from './support/resources.js';

const desk = claimDesk();
const US = '/v1/policies/us-powered-furniture';
/** Enough that the blow falls in the middle on any machine. */
const CLAIMS = 8_000;

/** One judged claim and many that are like it, written past the service. */
async function manyClaims(): Promise<void> {
  await desk.proposed();
  await desk.data().rows(`begin; set local session_replication_role = replica;
    insert into decision_record
      select gen_random_uuid(), tenant_id, gen_random_uuid(), 1, gen_random_uuid(), jurisdiction, governed_on, policy_version_id,
        policy_code, policy_version, policy_hash, policy_jurisdiction, semantics, facts, facts_hash, outcome, outcome_hash, trace,
        trace_hash, actor, made_at + g * interval '1 second', hash
      from decision_record, generate_series(1, ${CLAIMS - 1}) g;
    commit`);
}

async function rehearsal(): Promise<string> {
  const document = shippedJson('policies', 'us-powered-furniture.1');
  const decisions = document['decisions'] as { id: string; table: { rules: { then: Record<string, unknown> }[] } }[];
  for (const { then } of decisions.find(({ id }) => id === 'terms')?.table.rules ?? []) {
    if (then['restocking percent'] !== '0') then['restocking percent'] = '12';
  }
  delete (document as { examples?: unknown }).examples;
  const body = { document: { ...document, examples: [] }, effectiveFrom: '2026-03-10' };
  const draft = await desk.client.post(desk.home.owner, `${US}/versions`, body);
  expect(draft.statusCode, draft.body).toBe(201);
  const { version } = draft.json<{ version: number }>();
  const started = await desk.client.post(desk.home.analyst, `${US}/versions/${version}/rehearsals`, {});
  return started.json<{ id: string }>().id;
}

async function stretches(id: string): Promise<{ all: number; done: number }> {
  const [row] = await desk
    .data()
    .rows<{ all: number; done: number }>(
      'select count(*)::int "all", count(totals)::int done from rehearsal_batch where rehearsal_id = $1',
      [id],
    );
  return row ?? { all: 0, done: 0 };
}

describe('a rehearsal whose process is killed in the middle', () => {
  it('goes on where it was: every claim is counted once, and no change is written twice', async () => {
    await manyClaims();
    const id = await rehearsal();
    const child = fork(join(projectRoot(), 'dist/src/claims/rehearsal/rehearsal-child.js'), [], { env: {} });
    const ended = once(child, 'exit');
    const order = { tenant: desk.home.tenant, rehearsal: id };
    child.send({ url: underRole(desk.data().url, APP_ROLE), order });
    for (let done = 0; done < 2;) {
      await pause(10);
      ({ done } = await stretches(id));
    }
    child.kill('SIGKILL');
    const [code, signal] = (await ended) as [number | null, string | null];
    expect([code, signal]).toEqual([null, 'SIGKILL']);
    const between = await stretches(id);
    expect(between.all).toBe(CLAIMS / 500);
    expect(between.done).toBeLessThan(between.all);
    const halfway = await desk.client.get(desk.home.analyst, `/v1/rehearsals/${id}`);
    expect(halfway.json()).toMatchObject({ state: 'running', claims: CLAIMS });
    expect(halfway.json<{ done: number }>().done).toBe(between.done * 500);
    await desk.test.app.get(Jobs).workOff();
    const shown = (await desk.client.get(desk.home.analyst, `/v1/rehearsals/${id}`)).json<{ result: object }>();
    // 300.00 unopened: 10 % were held back, 12 % are by the draft, for each of the claims.
    expect(shown).toMatchObject({
      state: 'finished',
      done: CLAIMS,
      result: {
        claims: CLAIMS,
        changed: CLAIMS,
        money: [{ customerWasMinor: CLAIMS * 27_000, customerBecomesMinor: CLAIMS * 26_400, less: CLAIMS }],
      },
    });
    const [written] = await desk
      .data()
      .rows<{ rows: number; records: number }>(
        'select count(*)::int "rows", count(distinct record_id)::int records from rehearsal_change where rehearsal_id = $1',
        [id],
      );
    expect(written).toEqual({ rows: CLAIMS, records: CLAIMS });
    expect(await stretches(id)).toEqual({ all: 0, done: 0 });
  }, 120_000);
});
