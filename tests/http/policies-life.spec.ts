import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import {
  Client,
  codeOf,
  hand,
  house,
  pointersOf,
  resourceApp,
  shippedJson,
  statusesOf,
  type Answered,
  type Hand,
  type House,
} from '../support/resources.js';
import { TEST_START, type TestApp } from '../support/test-app.js';
import { freshDatabase } from '../support/test-database.js';

const data = freshDatabase();
let test: TestApp;
let home: House;
const client = new Client(() => test);
const US = '/v1/policies/us-powered-furniture';
const us = () => shippedJson('policies', 'us-powered-furniture.1');

beforeAll(async () => {
  test = await resourceApp(data().url);
});
afterAll(() => test.app.close());
beforeEach(async () => {
  home = await house(data());
  test.clock.moveTo(TEST_START);
  // These tests go through months; nobody has to sign in again on the way.
  await data().rows(`update session set expires_at = '2027-01-01', last_seen_at = '2026-12-31'`);
});

interface Shown {
  readonly version: number;
  readonly state: string;
  readonly hash: string;
  readonly periods: readonly { readonly from: string; readonly to?: string }[];
  readonly steps: readonly { readonly kind: string; readonly words?: string }[];
}

const draft = async (effectiveFrom: string, over: object = {}, document: object = us()): Promise<Shown> =>
  (await client.post(home.owner, `${US}/versions`, { document, effectiveFrom, ...over })).json<Shown>();
const step = (noun: string, version: number, who: Hand, body: object = {}, match = '*'): Promise<Answered> =>
  client.post(who, `${US}/versions/${version}/${noun}`, body, { 'if-match': match });
const read = async (version: number): Promise<Answered> => client.get(home.analyst, `${US}/versions/${version}`);
const stateOf = async (version: number): Promise<string> => (await read(version)).json<Shown>().state;
const etag = async (version: number): Promise<string> => String((await read(version)).headers['etag']);

/** Drafts, proposes and approves a version that holds from a day. */
async function published(effectiveFrom: string, over: object = {}): Promise<Shown> {
  const { version, hash } = await draft(effectiveFrom, over);
  await step('proposal', version, home.owner);
  const answer = await step('approval', version, home.secondOwner, { hash });
  expect(answer.statusCode, answer.body).toBe(201);
  return answer.json<Shown>();
}

/** The version that held on a day, as it was known at an instant; undefined where none did. */
async function held(on: string, asOf?: string): Promise<number | undefined> {
  const known = asOf === undefined ? '' : `&asOf=${asOf}`;
  const answer = await client.get(home.analyst, `${US}/versions?on=${on}${known}`);
  return answer.statusCode === 404 ? undefined : answer.json<{ items: Shown[] }>().items[0]?.version;
}

describe('the life of a version', () => {
  it('goes from draft to proposed to approved to scheduled to in force to superseded', async () => {
    const { version, hash } = await draft('2026-03-10');
    const states = [await stateOf(version)];
    await step('proposal', version, home.owner, { words: 'Ready.' });
    states.push(await stateOf(version));
    await step('approval', version, home.secondOwner, { hash, publish: false, words: 'Seen.' });
    states.push(await stateOf(version));
    const early = await client.post(home.owner, `${US}/versions/${version}/publication`);
    expect(codeOf(early)).toBe('same-person');
    expect((await client.post(home.secondOwner, `${US}/versions/${version}/publication`)).statusCode).toBe(201);
    states.push(await stateOf(version));
    test.clock.moveTo(Temporal.Instant.from('2026-03-10T12:00:00Z'));
    states.push(await stateOf(version));
    await published('2026-03-10');
    states.push(await stateOf(version));
    expect(states).toEqual(['draft', 'proposed', 'approved', 'scheduled', 'in force', 'superseded']);
    const { steps } = (await read(version)).json<Shown>();
    expect(steps.map(({ kind }) => kind)).toEqual(['drafted', 'proposed', 'approved', 'published']);
    expect(steps.map(({ words }) => words)).toEqual([undefined, 'Ready.', 'Seen.', undefined]);
  });

  it('takes each step in one state only, and a published version takes none', async () => {
    const { version, hash } = await draft('2026-03-01');
    expect(codeOf(await step('approval', version, home.secondOwner, { hash }))).toBe('policy-state-forbids');
    expect(codeOf(await step('rejection', version, home.secondOwner, { words: 'No.' }))).toBe('policy-state-forbids');
    expect(codeOf(await step('withdrawal', version, home.secondOwner, { words: 'No.' }))).toBe('policy-state-forbids');
    await step('proposal', version, home.owner);
    expect(codeOf(await step('proposal', version, home.owner))).toBe('policy-state-forbids');
    await step('approval', version, home.secondOwner, { hash });
    expect(codeOf(await step('proposal', version, home.owner))).toBe('already-published');
    const edit = { document: us(), effectiveFrom: '2026-03-02' };
    expect(codeOf(await client.put(home.owner, `${US}/versions/${version}`, edit, '*'))).toBe('already-published');
  });

  it('is approved by a second person, for the content that this person looked at', async () => {
    const { version, hash } = await draft('2026-03-01');
    await step('proposal', version, home.owner);
    expect(codeOf(await step('approval', version, home.owner, { hash }))).toBe('same-person');
    const other = await step('approval', version, home.secondOwner, { hash: 'a'.repeat(64) });
    expect([other.statusCode, codeOf(other)]).toEqual([412, 'policy-content-changed']);
    expect(codeOf(await step('approval', version, home.analyst, { hash }))).toBe('not-allowed');
    expect(pointersOf(await step('approval', version, home.secondOwner, { hash: 'short' }))).toContain('#/hash');
    expect((await step('approval', version, home.secondOwner, { hash })).json()).toMatchObject({ state: 'in force' });
  });

  it('loses a proposal and an approval when it is edited, in its document or in its days', async () => {
    const { version, hash } = await draft('2026-03-05');
    await step('proposal', version, home.owner);
    await step('approval', version, home.secondOwner, { hash, publish: false });
    const later = { document: us(), effectiveFrom: '2026-04-01' };
    const edited = await client.put(home.owner, `${US}/versions/${version}`, later, '*');
    expect(edited.json()).toMatchObject({ state: 'draft', hash, effectiveFrom: '2026-04-01' });
    expect(edited.json()).not.toHaveProperty('approvedBy');
    const publish = await client.post(home.secondOwner, `${US}/versions/${version}/publication`);
    expect(codeOf(publish)).toBe('policy-state-forbids');
  });

  it('is sent back with words, changed and proposed again', async () => {
    const { version } = await draft('2026-03-05');
    await step('proposal', version, home.owner);
    expect(pointersOf(await step('rejection', version, home.secondOwner, {}))).toContain('#/words');
    const back = await step('rejection', version, home.secondOwner, { words: 'The source of TRM-US-10 is missing.' });
    expect(back.json()).toMatchObject({ state: 'draft' });
    expect((await step('proposal', version, home.owner)).json()).toMatchObject({ state: 'proposed' });
  });

  it('is not proposed while an example fails, and says which', async () => {
    const document = us();
    const [example] = document['examples'] as { id: string; expect: Record<string, unknown> }[];
    if (example === undefined) throw new Error('the shipped policy has no example');
    example.expect['notice'] = example.expect['notice'] === 'late' ? 'in time' : 'late';
    const { version } = await draft('2026-03-01', {}, document);
    const answer = await step('proposal', version, home.owner);
    expect([answer.statusCode, codeOf(answer)]).toEqual([422, 'policy-invalid']);
    expect(pointersOf(answer)).toEqual(['#/document/examples/0/expect']);
    const check = (await client.get(home.analyst, `${US}/versions/${version}/check`)).json<{ sound: boolean }>();
    expect(check.sound).toBe(false);
    const looked = await client.post(home.analyst, '/v1/policies/checks', { document: us() });
    expect(looked.json()).toMatchObject({ sound: true, faults: [], coverage: { rulesPercent: 100 } });
  });

  it('shows where it decides otherwise than the version in force, and than one that is named', async () => {
    await published('2026-01-01');
    const document = us();
    const decisions = document['decisions'] as { id: string; table: { rules: { then: Record<string, unknown> }[] } }[];
    const rule = decisions.find(({ id }) => id === 'terms')?.table.rules[0];
    if (rule === undefined) throw new Error('the shipped policy has lost its terms');
    rule.then['restocking percent'] = '12';
    const { version } = await draft('2026-04-01', {}, document);
    const url = `${US}/versions/${version}/difference`;
    const found = (await client.get(home.analyst, url)).json<{ difference: { changes: { decision: string }[] } }>();
    expect(found).toMatchObject({ was: { version: 1 }, becomes: { version }, same: false });
    expect(new Set(found.difference.changes.map(({ decision }) => decision))).toEqual(new Set(['terms']));
    expect((await client.get(home.analyst, `${url}?against=${version}`)).json()).toMatchObject({ same: true });
    expect(codeOf(await client.get(home.analyst, `${url}?against=99`))).toBe('not-found');
  });
});

describe('two people at once', () => {
  it('edit and approve: one of them is refused, and what is approved is what was looked at', async () => {
    const { version, hash } = await draft('2026-03-05');
    await step('proposal', version, home.owner);
    const match = await etag(version);
    const edit = { document: { ...us(), title: 'Another title' }, effectiveFrom: '2026-03-05' };
    const [approved, edited] = await Promise.all([
      step('approval', version, home.secondOwner, { hash, publish: false }, match),
      client.put(home.owner, `${US}/versions/${version}`, edit, match),
    ]);
    expect([approved.statusCode, edited.statusCode].filter((status) => status < 300)).toHaveLength(1);
    const now = (await read(version)).json<Shown>();
    if (approved.statusCode === 201) expect(now).toMatchObject({ state: 'approved', hash });
    else expect(now).toMatchObject({ state: 'draft' });
    const [row] = await data().rows<{ fits: boolean | null }>('select approved_hash = hash fits from policy_version');
    expect(row?.fits).not.toBe(false);
  });

  it('propose and edit, and propose twice: the second is told', async () => {
    const { version } = await draft('2026-03-05');
    const match = await etag(version);
    const edit = { document: us(), effectiveFrom: '2026-03-06' };
    const answers = await Promise.all([
      step('proposal', version, home.owner, {}, match),
      step('proposal', version, home.secondOwner, {}, match),
      client.put(home.owner, `${US}/versions/${version}`, edit, match),
    ]);
    expect(statusesOf(answers).filter((status) => status < 300)).toHaveLength(1);
    expect(statusesOf(answers).filter((status) => status === 412)).toHaveLength(2);
  });

  it('approve: one does', async () => {
    const { version, hash } = await draft('2026-03-05');
    await step('proposal', version, home.owner);
    const third = await hand(data(), home.tenant, ['policy owner']);
    const match = await etag(version);
    const answers = await Promise.all([
      step('approval', version, home.secondOwner, { hash }, match),
      step('approval', version, third, { hash }, match),
    ]);
    expect(statusesOf(answers)[0]).toBe(201);
    expect(answers.filter(({ statusCode }) => statusCode === 201)).toHaveLength(1);
  });

  it('publish versions for the same days: no day has two', async () => {
    const versions = await Promise.all(['2026-03-05', '2026-03-05', '2026-02-01'].map((from) => draft(from)));
    for (const { version, hash } of versions) {
      await step('proposal', version, home.owner);
      await step('approval', version, home.secondOwner, { hash, publish: false });
    }
    const answers = await Promise.all(
      versions.map(({ version }) => client.post(home.secondOwner, `${US}/versions/${version}/publication`)),
    );
    expect(statusesOf(answers)).toEqual([201, 201, 201]);
    const overlaps = await data().rows(
      `select 1 from policy_period a join policy_period b on a.id < b.id and a.effective && b.effective
       where a.tenant_id = $1 and b.tenant_id = $1 and a.superseded_at is null and b.superseded_at is null`,
      [home.tenant],
    );
    expect(overlaps).toEqual([]);
  });
});

/** Worked by hand. Days are those on which a version governs; instants are those at which the house had written it down. */
describe('what held on a day, as it was known at an instant', () => {
  it('changes when a later version is published, and not for those who look from before', async () => {
    test.clock.moveTo(Temporal.Instant.from('2026-01-10T09:00:00Z'));
    await published('2026-01-01');
    test.clock.moveTo(Temporal.Instant.from('2026-02-10T09:00:00Z'));
    await published('2026-03-01');
    expect(await held('2026-02-28')).toBe(1);
    expect(await held('2026-03-01')).toBe(2);
    expect(await held('2026-03-01', '2026-02-01T00:00:00Z')).toBe(1);
    expect(await held('2026-03-01', '2026-01-01T00:00:00Z')).toBeUndefined();
    expect(await held('2025-12-31')).toBeUndefined();
  });

  it('keeps both sides of a correction that is written down later', async () => {
    test.clock.moveTo(Temporal.Instant.from('2026-02-10T09:00:00Z'));
    await published('2026-01-01');
    await published('2026-03-01');
    // On 5 April somebody finds that version 2 was wrong all along; version 3 holds for the same days.
    test.clock.moveTo(Temporal.Instant.from('2026-04-05T09:00:00Z'));
    await published('2026-03-01');
    expect(await held('2026-03-15')).toBe(3);
    expect(await held('2026-03-15', '2026-04-01T00:00:00Z')).toBe(2);
    expect(await held('2026-03-15', '2026-04-06T00:00:00Z')).toBe(3);
    expect(await held('2026-02-15', '2026-04-06T00:00:00Z')).toBe(1);
    expect(await stateOf(2)).toBe('superseded');
  });

  it('fits a version between two others, and one that says until when it holds', async () => {
    await published('2026-01-01');
    await published('2026-06-01');
    await published('2026-03-01');
    expect([await held('2026-02-28'), await held('2026-03-01'), await held('2026-06-01')]).toEqual([1, 3, 2]);
    await published('2026-05-15', { effectiveTo: '2026-06-15' });
    expect([await held('2026-05-14'), await held('2026-05-15'), await held('2026-06-14')]).toEqual([3, 4, 4]);
    expect(await held('2026-06-15')).toBe(2);
    const wrong = { document: us(), effectiveFrom: '2026-05-15', effectiveTo: '2026-05-15' };
    expect(pointersOf(await client.post(home.owner, `${US}/versions`, wrong))).toEqual(['#/effectiveTo']);
  });

  it('goes back to what held before when a version is withdrawn, and remembers that it held', async () => {
    test.clock.moveTo(Temporal.Instant.from('2026-02-10T09:00:00Z'));
    await published('2026-01-01');
    await published('2026-03-01');
    test.clock.moveTo(Temporal.Instant.from('2026-03-20T09:00:00Z'));
    expect(pointersOf(await step('withdrawal', 2, home.secondOwner, {}))).toContain('#/words');
    const gone = await step('withdrawal', 2, home.secondOwner, { words: 'It pays twice for one carton.' });
    expect(gone.json()).toMatchObject({ state: 'withdrawn', periods: [] });
    expect(await held('2026-03-25')).toBe(1);
    expect(await held('2026-03-15', '2026-03-19T00:00:00Z')).toBe(2);
    expect(codeOf(await step('withdrawal', 2, home.secondOwner, { words: 'Again.' }))).toBe('policy-state-forbids');
    const calendar = (await client.get(home.analyst, `${US}/versions`)).json<{ calendar: { because: string }[] }>();
    expect(calendar.calendar.map(({ because }) => because)).toEqual(['published', 'cut', 'published', 'restored']);
  });

  it('is kept by the database itself: no two versions on one day, nothing rewritten', async () => {
    await published('2026-01-01');
    const second = data().rows(
      `insert into policy_period (tenant_id, policy_version_id, code, version, jurisdiction, effective, because, recorded_at)
       select tenant_id, policy_version_id, code, version, jurisdiction, effective, because, now() from policy_period`,
    );
    await expect(second).rejects.toThrow(/policy_period_one_at_a_time/);
    await expect(data().rows(`update policy_period set effective = '[2020-01-01,)'`)).rejects.toThrow(
      /superseded once/,
    );
    await expect(data().rows('delete from policy_period')).rejects.toThrow(/superseded once/);
    await expect(data().rows(`update policy_step set words = 'no'`)).rejects.toThrow(/never changed/);
    const twice = `update policy_period set superseded_at = now()`;
    await data().rows(twice);
    await expect(data().rows(twice)).rejects.toThrow(/superseded once/);
  });

  it('of another tenant is not there', async () => {
    await published('2026-01-01');
    const other = await house(data());
    expect(codeOf(await client.get(other.analyst, `${US}/versions`))).toBe('not-found');
    expect(codeOf(await client.get(other.analyst, `${US}/versions/1/evidence`))).toBe('not-found');
    expect(codeOf(await client.get(other.analyst, `${US}/versions/1/check`))).toBe('not-found');
    const withdrawal = client.post(other.owner, `${US}/versions/1/withdrawal`, { words: 'Mine.' });
    expect(codeOf(await withdrawal)).toBe('not-found');
  });
});
