import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { Database } from '../../src/platform/db/database.js';
import { PoliciesService } from '../../src/policies/policies.service.js';
import {
  Client,
  codeOf,
  house,
  keyHand,
  pointersOf,
  resourceApp,
  shippedJson,
  stock,
  type Answered,
  type House,
} from '../support/resources.js';
import type { TestApp } from '../support/test-app.js';
import { freshDatabase } from '../support/test-database.js';

const data = freshDatabase();
let test: TestApp;
let home: House;
const client = new Client(() => test);

const US = '/v1/policies/us-powered-furniture';
const us = () => shippedJson('policies', 'us-powered-furniture.1');
const body = (effectiveFrom = '2026-01-01', document: object = us()) => ({ document, effectiveFrom });

interface Decision {
  id: string;
  table: { rules: { id: string; when: Record<string, string> }[] };
}

beforeAll(async () => {
  test = await resourceApp(data().url);
});
afterAll(() => test.app.close());
beforeEach(async () => {
  home = await house(data());
});

const draft = (effectiveFrom?: string, document?: object): Promise<Answered> =>
  client.post(home.owner, `${US}/versions`, body(effectiveFrom, document));
/** Proposes a version, and has a second person approve and publish what it says. */
const publish = async (version: number, who = home.secondOwner, url = US): Promise<Answered> => {
  const proposed = await client.post(home.owner, `${url}/versions/${version}/proposal`, {}, { 'if-match': '*' });
  if (proposed.statusCode !== 201) return proposed;
  const { hash } = proposed.json<{ hash: string }>();
  return client.post(who, `${url}/versions/${version}/approval`, { hash }, { 'if-match': '*' });
};

describe('policies', () => {
  it('are drafted under the next number, read and listed', async () => {
    const first = await draft();
    expect(first.statusCode).toBe(201);
    expect(first.headers['location']).toBe(`${US}/versions/1`);
    expect(first.json()).toMatchObject({
      code: 'us-powered-furniture',
      version: 1,
      state: 'draft',
      jurisdiction: 'US',
      effectiveFrom: '2026-01-01',
      createdBy: home.owner.id,
      document: us(),
    });
    expect((await draft()).json()).toMatchObject({ version: 2, document: { version: 2 } });
    expect((await client.get(home.analyst, `${US}/versions/1`)).json()).toMatchObject(first.json<object>());
    const list = (await client.get(home.analyst, '/v1/policies')).json<{ items: object[] }>();
    expect(list.items).toMatchObject([{ version: 1 }, { version: 2 }]);
    expect(list.items[0]).not.toHaveProperty('document');
  });

  it('number two drafts at once apart', async () => {
    const answers = await Promise.all([draft(), draft(), draft()]);
    expect(answers.map((answer) => answer.json<{ version: number }>().version).sort((a, b) => a - b)).toEqual([
      1, 2, 3,
    ]);
  });

  it('are refused with every fault, each placed in the document', async () => {
    const document = us();
    const decisions = document['decisions'] as Decision[];
    const first = decisions[0]?.table.rules[0];
    if (first === undefined) throw new Error('the shipped policy has no first rule');
    const column = Object.keys(first.when)[0] ?? '';
    first.when[column] = '= = nonsense';
    const answer = await draft('2026-01-01', document);
    expect([answer.statusCode, codeOf(answer)]).toEqual([422, 'policy-invalid']);
    expect(pointersOf(answer)).toContain(`#/document/decisions/0/table/rules/0/when/${column}`);
    expect(pointersOf(await draft('2026-01-01', { ...us(), id: 'other' }))).toEqual(['#/document/id']);
    expect(codeOf(await draft('2026-01-01', { ...us(), jurisdiction: 7 }))).toBe('policy-invalid');
    expect(pointersOf(await draft('2026-02-30'))).toEqual(['#/effectiveFrom']);
    expect(await data().rows('select 1 from policy_version')).toEqual([]);
  });

  it('may fail their own examples as a draft, and not when they are proposed', async () => {
    const document = us();
    const [example] = document['examples'] as { expect: Record<string, unknown> }[];
    if (example === undefined) throw new Error('the shipped policy has no example');
    expect(example.expect['notice']).not.toBe('late');
    example.expect['notice'] = 'late';
    expect((await draft('2026-01-01', document)).statusCode).toBe(201);
    const answer = await publish(1);
    expect([answer.statusCode, codeOf(answer), pointersOf(answer)]).toEqual([
      422,
      'policy-invalid',
      ['#/document/examples/0/expect'],
    ]);
  });

  it('evaluate facts: outcomes, the rules that fired, and what is still needed', async () => {
    await stock(test, home);
    const examples = us()['examples'] as { on: string; given: object; decisions?: string[]; expect: object }[];
    const example = examples.find((each) => each.decisions !== undefined);
    if (example === undefined) throw new Error('the shipped policy has no example of single decisions');
    const { on, given, decisions } = example;
    const answer = await client.post(home.analyst, `${US}/evaluations`, { facts: given, on, decisions });
    expect(answer.statusCode).toBe(200);
    const found = answer.json<{ outcomes: object; fired: { rule: string }[]; version: number }>();
    const outcomes = Object.fromEntries(Object.entries(example.expect).filter(([name]) => name in found.outcomes));
    expect(Object.keys(outcomes).length).toBeGreaterThan(0);
    expect(found.outcomes).toMatchObject(outcomes);
    expect(found.fired.length).toBeGreaterThan(0);
    expect(found.version).toBe(1);
    const empty = await client.post(home.analyst, `${US}/evaluations`, { facts: {}, on });
    expect(empty.json<{ needs: unknown[] }>().needs.length).toBeGreaterThan(0);
  });

  it('refuse facts that are not declared or of the wrong type, unknown decisions, and days before they governed', async () => {
    await stock(test, home);
    const ask = (payload: object) => client.post(home.analyst, `${US}/evaluations`, payload);
    expect(pointersOf(await ask({ facts: { colour: 'oak' } }))).toEqual(['#/facts']);
    expect(pointersOf(await ask({ facts: { ground: 7 } }))).toEqual(['#/facts']);
    expect(pointersOf(await ask({ facts: {}, decisions: ['notice', 'weather'] }))).toEqual(['#/decisions/1']);
    expect(codeOf(await ask({ facts: {}, on: '2023-12-31' }))).toBe('not-found');
    expect(codeOf(await ask({ facts: {}, version: 9 }))).toBe('not-found');
    expect(pointersOf(await ask({ facts: [] }))).toEqual(['#/facts']);
  });

  it('explain the whole way to an outcome, and why it is not another one', async () => {
    await stock(test, home);
    const examples = us()['examples'] as { on: string; given: object; decisions?: string[] }[];
    const example = examples.find(({ decisions }) => decisions?.includes('remedy option'));
    if (example === undefined) throw new Error('the shipped policy has no example of a remedy option');
    const { on, given, decisions } = example;
    const ask = (more: object) =>
      client.post(home.analyst, `${US}/evaluations`, { facts: given, on, decisions, ...more });
    const plain = (await ask({})).json<{ outcomes: Record<string, unknown>; trace?: object[] }>();
    expect(plain.trace).toBeUndefined();
    const { trace } = (await ask({ explain: true })).json<{ trace: { decision: string; fired: object[] }[] }>();
    expect(trace.find(({ decision }) => decision === 'remedy option')?.fired).not.toEqual([]);
    const wanted = { name: 'admissible', value: plain.outcomes['admissible'] !== true };
    const asked = (await ask({ whyNot: wanted })).json<{ whyNot: { decision: string; rules: object[] } }>();
    expect(asked.whyNot).toMatchObject({ decision: 'remedy option', wanted: wanted.value });
    expect(asked.whyNot.rules.length).toBeGreaterThan(0);
    expect(pointersOf(await ask({ whyNot: { name: 'weather', value: true } }))).toEqual(['#/whyNot']);
  });

  it('belong to policy owners: analysts read, nobody else does', async () => {
    await draft();
    expect(codeOf(await client.post(home.analyst, `${US}/versions`, body()))).toBe('not-allowed');
    expect(codeOf(await client.post(home.administrator, `${US}/versions/1/proposal`, {}, { 'if-match': '*' }))).toBe(
      'not-allowed',
    );
    expect(codeOf(await client.get(home.retailerPerson, '/v1/policies'))).toBe('not-allowed');
    const key = await keyHand(data(), home, ['catalogue:read', 'claims:write']);
    expect(codeOf(await client.get(key, '/v1/policies'))).toBe('not-allowed');
  });

  it('of another tenant do not exist', async () => {
    await draft();
    const other = await house(data());
    expect((await client.get(other.owner, '/v1/policies')).json()).toEqual({ items: [] });
    expect(codeOf(await client.get(other.owner, `${US}/versions/1`))).toBe('not-found');
    const proposal = client.post(other.owner, `${US}/versions/1/proposal`, {}, { 'if-match': '*' });
    expect(codeOf(await proposal)).toBe('not-found');
    expect((await client.post(other.owner, `${US}/versions`, body())).json()).toMatchObject({ version: 1 });
  });
});

describe('the policy in force', () => {
  const inForce = (jurisdiction: string, on: string) =>
    test.app
      .get(Database)
      .inTenant({ tenant: home.tenant }, (tx) =>
        test.app.get(PoliciesService).inForce(tx, home.tenant, jurisdiction, on),
      );

  it('is the latest in effect on the day, published, and the newest of those', async () => {
    for (const from of ['2026-01-01', '2026-02-01', '2026-02-01', '2026-02-01']) await draft(from);
    for (const version of [1, 2, 3]) await publish(version);
    expect((await inForce('US', '2026-01-31')).version).toBe(1);
    expect((await inForce('US', '2026-02-01')).version).toBe(3);
    expect((await inForce('US-CA', '2026-03-01')).version).toBe(3);
    expect((await inForce('US', '2026-03-01')).policy.document.id).toBe('us-powered-furniture');
  });

  it('of a subdivision comes before that of its country, even when it is older', async () => {
    await draft('2026-02-01');
    await publish(1);
    const california = { ...us(), id: 'california', jurisdiction: 'US-CA' };
    await client.post(home.owner, '/v1/policies/california/versions', body('2026-01-01', california));
    await publish(1, home.secondOwner, '/v1/policies/california');
    expect((await inForce('US-CA', '2026-03-01')).code).toBe('california');
    expect((await inForce('US-NV', '2026-03-01')).code).toBe('us-powered-furniture');
  });

  it('is refused, naming place and day, where there is none', async () => {
    await draft('2026-02-01');
    await publish(1);
    const missing = { code: 'policy-missing', extra: { jurisdiction: 'FR', day: '2026-03-01' } };
    await expect(inForce('FR', '2026-03-01')).rejects.toMatchObject(missing);
    await expect(inForce('US', '2026-01-31')).rejects.toMatchObject({ code: 'policy-missing' });
  });
});
