import { afterEach, describe, expect, it } from 'vitest';
import { replayDecisions } from '../../src/cli/verbs/decisions.js';
import { claimDesk } from '../support/claims.js';
import { codeOf, house } from '../support/resources.js';

const desk = claimDesk();
const given = process.env['DATABASE_URL'];
afterEach(() => {
  if (given === undefined) delete process.env['DATABASE_URL'];
  else process.env['DATABASE_URL'] = given;
});

const get = (url: string, who = desk.home.analyst) => desk.client.get(who, url);

interface Kept {
  readonly id: string;
  readonly hash: string;
}

async function recordOf(claim: string): Promise<Kept> {
  const { items } = (await get(`/v1/claims/${claim}/decision-records`)).json<{ items: Kept[] }>();
  const [record] = items;
  if (record === undefined) throw new Error('the judgement was not kept');
  return record;
}

/** Runs the verb on the test's own database. */
async function replayAll(
  ...args: string[]
): Promise<{ code: number; out: { records: number; same: boolean }; err: string[] }> {
  process.env['DATABASE_URL'] = desk.data().url;
  const [out, err]: [string[], string[]] = [[], []];
  const io = {
    out: (line: string) => out.push(line),
    err: (line: string) => err.push(line),
    stdin: async () => Buffer.alloc(0),
  };
  const code = await replayDecisions(args, io);
  return { code, out: JSON.parse(out[0] ?? '{}') as { records: number; same: boolean }, err };
}

/** Changes a record as only a superuser can. */
async function altered(change: string): Promise<void> {
  await desk.data().rows('alter table decision_record disable trigger decision_record_fixed');
  await desk.data().rows(`update decision_record set ${change}`);
  await desk.data().rows('alter table decision_record enable trigger decision_record_fixed');
}

describe('a record of a judgement', () => {
  it('is kept with each proposal, and the events of the claim name it', async () => {
    const claim = await desk.proposed();
    const record = await recordOf(claim.id);
    const events = await desk.events(claim.id);
    expect(events.find(({ kind }) => kind === 'claim-proposed')?.body['record']).toBe(record.hash);
    const whole = (await get(`/v1/decision-records/${record.id}`)).json<Record<string, unknown>>();
    expect(whole).toMatchObject({
      claim: claim.id,
      n: 1,
      policy: { code: 'us-powered-furniture', version: 1 },
      governedOn: '2026-03-02',
      facts: { format: 'frozen-case/1', base: { ground: 'return' } },
      outcome: { currency: 'USD', remedies: [{ remedy: 'refund' }] },
    });
  });

  it('is never changed or deleted, not even by the service', async () => {
    await desk.proposed();
    const change = desk.data().rows(`update decision_record set n = 2`);
    await expect(change).rejects.toThrow(/never changed/);
    await expect(desk.data().rows('delete from decision_record')).rejects.toThrow(/never changed/);
  });

  it('says why in the words of the policy, and why not another remedy', async () => {
    const record = await recordOf((await desk.proposed()).id);
    const why = (await get(`/v1/decision-records/${record.id}/why`)).json<{
      parameters: { name: string; from: string; value: string }[];
      questions: { asked: string[]; rules: { rule: string; because?: string; cells: { cell: string }[] }[] }[];
    }>();
    const rules = why.questions.flatMap((question) => question.rules);
    const refund = rules.find(({ rule }) => rule === 'OPT-US-10');
    expect(refund?.because).toMatch(/\w/);
    expect(refund?.cells.map(({ cell }) => cell)).toContain('"change of mind"');
    expect(why.parameters.map(({ name }) => name)).toContain('return window days');
    const asked = await get(`/v1/decision-records/${record.id}/why-not?remedy=allowance`);
    const { items } = asked.json<{ items: { about: string; given: boolean; says: string; whyNot?: object }[] }>();
    expect(items).toMatchObject([
      { about: 'claim', given: false, whyNot: { decision: 'remedy option', wanted: true } },
    ]);
    const own = (await get(`/v1/decision-records/${record.id}/why-not?remedy=refund`)).json<{ items: object[] }>();
    expect(own.items).toMatchObject([{ given: true }]);
    expect((await get(`/v1/decision-records/${record.id}/why-not?remedy=gold`)).statusCode).toBe(400);
  });

  it('of another tenant does not exist, and retailers see none', async () => {
    const claim = await desk.proposed();
    const { id } = await recordOf(claim.id);
    const other = await house(desk.data());
    for (const part of ['', '/why', '/why-not?remedy=refund', '/replay']) {
      expect(codeOf(await get(`/v1/decision-records/${id}${part}`, other.analyst))).toBe('not-found');
    }
    expect(codeOf(await get(`/v1/claims/${claim.id}/decision-records`, other.analyst))).toBe('not-found');
    expect(codeOf(await get(`/v1/decision-records/${id}`, desk.home.retailerPerson))).toBe('not-allowed');
  });
});

describe('a replay', () => {
  it('comes out byte for byte, one by one and all together', async () => {
    const { id } = await recordOf((await desk.proposed()).id);
    expect((await get(`/v1/decision-records/${id}/replay`)).json()).toMatchObject({ record: id, differences: [] });
    expect(await replayAll()).toMatchObject({ code: 0, out: { records: 1, same: true } });
    expect(await replayAll('--sample', '10', '--tenant', desk.home.tenant)).toMatchObject({ code: 0 });
    await expect(replayAll('--sample', 'many')).rejects.toThrow(/whole number/);
  });

  it.each([
    [
      'an outcome',
      `outcome = replace(outcome, '"customerMinor":27000', '"customerMinor":99000')`,
      /outcome was altered/,
    ],
    ['a fact', `facts = replace(facts, '"opened":false', '"opened":true')`, /facts come to another outcome/],
    ['the trace', `trace = '\\x00'`, /trace was altered/],
    ['the day', `governed_on = '2025-01-01'`, /record was altered/],
    [
      'a fact with its hash',
      `facts = replace(facts, '"opened":false', '"opened":false '),
       facts_hash = encode(sha256(convert_to(replace(facts, '"opened":false', '"opened":false '), 'UTF8')), 'hex')`,
      /record was altered/,
    ],
  ])('finds that somebody changed %s', async (_what, change, says) => {
    const { id } = await recordOf((await desk.proposed()).id);
    await altered(change);
    const { differences } = (await get(`/v1/decision-records/${id}/replay`)).json<{ differences: string[] }>();
    expect(differences.join(' ')).toMatch(says);
    const all = await replayAll();
    expect([all.code, all.out.same]).toEqual([1, false]);
    expect(all.err.at(-1)).toContain(id);
  });

  it('finds a record that was put in place of another, because the events do not name it', async () => {
    const { id } = await recordOf((await desk.proposed()).id);
    await altered(`hash = repeat('a', 64)`);
    const { differences } = (await get(`/v1/decision-records/${id}/replay`)).json<{ differences: string[] }>();
    expect(differences).toContain('The events of the claim do not name this record.');
  });
});
