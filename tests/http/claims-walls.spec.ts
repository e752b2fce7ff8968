import { randomUUID } from 'node:crypto';
import { beforeEach, describe, expect, it } from 'vitest';
import { claimDesk, type ClaimView } from '../support/claims.js';
import { codeOf, company, crewHand, hand, house, keyHand, type Answered, type Hand } from '../support/resources.js';

const desk = claimDesk();

/** Every address below one claim, with a body that would do. */
const ROUTES: readonly { readonly method: 'GET' | 'POST'; readonly noun: string; readonly body?: object }[] = [
  { method: 'GET', noun: '' },
  { method: 'GET', noun: '/standing' },
  { method: 'GET', noun: '/timeline' },
  { method: 'GET', noun: '/dossier' },
  { method: 'GET', noun: '/events' },
  { method: 'POST', noun: '/filing' },
  { method: 'POST', noun: '/withdrawal', body: { reason: 'Not needed.' } },
  { method: 'POST', noun: '/questions', body: { asked: 'What happened?', of: 'crew' } },
  { method: 'POST', noun: '/information', body: { words: 'Nothing.' } },
  { method: 'POST', noun: '/assessments', body: { words: 'Look again.' } },
  { method: 'POST', noun: '/decisions', body: { outcome: 'approved' } },
  { method: 'POST', noun: '/decisions/1/confirmation' },
  { method: 'POST', noun: '/decisions/1/refusal', body: { reason: 'Not like this.' } },
  { method: 'POST', noun: '/settlement-order', body: {} },
  { method: 'POST', noun: '/settlement', body: { amountMinor: 0, currency: 'USD', reference: 'P' } },
  { method: 'POST', noun: '/closure', body: {} },
  { method: 'POST', noun: '/appeals', body: { words: 'Look again.' } },
];
/** Acts that are the desk's alone. */
const DESK_ONLY = ROUTES.filter(({ noun }) =>
  ['/events', '/questions', '/assessments', '/settlement-order', '/settlement', '/closure'].includes(noun),
).concat(ROUTES.filter(({ noun }) => noun.startsWith('/decisions')));

const call = (who: Hand, id: string, { method, noun, body }: (typeof ROUTES)[number]): Promise<Answered> =>
  method === 'GET'
    ? desk.client.get(who, `/v1/claims/${id}${noun}`)
    : desk.client.post(who, `/v1/claims/${id}${noun}`, body, { 'if-match': '*' });
const idsOf = async (who: Hand): Promise<string[]> =>
  (await desk.client.get(who, '/v1/claims')).json<{ items: { id: string }[] }>().items.map(({ id }) => id);

let claim: ClaimView;
beforeEach(async () => {
  claim = await desk.proposed();
});

describe('a claim of another house', () => {
  it.each(ROUTES)('does not exist: $method $noun', async (route) => {
    const strangers = await house(desk.data());
    const foreign = await call(strangers.analyst, claim.id, route);
    const nowhere = await call(strangers.analyst, randomUUID(), route);
    expect([foreign.statusCode, codeOf(foreign)]).toEqual([404, 'not-found']);
    expect(foreign.json<{ detail: string }>().detail).toBe(nowhere.json<{ detail: string }>().detail);
    expect(await desk.read(claim.id)).toEqual(claim);
  });

  it('is neither listed, nor found by its number, nor worked on by a job with the wrong tenant', async () => {
    const strangers = await house(desk.data());
    expect(await idsOf(strangers.analyst)).toEqual([]);
    const found = await desk.client.get(strangers.analyst, `/v1/claims/by-number/${String(claim.number)}`);
    expect(codeOf(found)).toBe('not-found');
    expect((await desk.client.get(desk.home.analyst, `/v1/claims/by-number/${String(claim.number)}`)).statusCode).toBe(
      200,
    );
  });
});

describe('a crew', () => {
  it('sees and files claims of its own visit only', async () => {
    const other = await desk.delivered();
    const theirs = await desk.filed({ visitId: other }, desk.home.analyst);
    expect(await idsOf(desk.crew)).toEqual([claim.id]);
    expect((await desk.client.get(desk.crew, `/v1/claims/${claim.id}/timeline`)).statusCode).toBe(200);
    for (const route of ROUTES.filter((each) => !DESK_ONLY.includes(each) && !/withdrawal|appeals/.test(each.noun)))
      expect(codeOf(await call(desk.crew, theirs.id, route)), `crew at ${route.noun}`).toBe('not-found');
    expect(codeOf(await desk.open(desk.crew, { visitId: other }))).toBe('not-found');
  });

  it('neither withdraws nor does what is for the desk', async () => {
    for (const route of [...DESK_ONLY, ...ROUTES.filter(({ noun }) => noun === '/withdrawal')])
      expect(codeOf(await call(desk.crew, claim.id, route)), `crew at ${route.noun}`).toBe('not-allowed');
  });

  it('does nothing any more when its link has expired', async () => {
    await desk.data().rows(`update visit_link set expires_at = '2026-03-02T08:59:00Z'`);
    const late = await desk.client.get(desk.crew, `/v1/claims/${claim.id}`);
    expect([late.statusCode, codeOf(late)]).toEqual([401, 'link-expired']);
  });
});

describe('a retailer', () => {
  it('sees its own claims only, whatever it asks for', async () => {
    const elsewhere = await company(desk.data(), desk.home.tenant, 'retailer', 'quayle');
    const rival = await hand(desk.data(), desk.home.tenant, ['retailer'], elsewhere);
    expect(await idsOf(desk.home.retailerPerson)).toEqual([claim.id]);
    expect(await idsOf(rival)).toEqual([]);
    for (const route of ROUTES.filter((each) => !DESK_ONLY.includes(each)))
      expect(codeOf(await call(rival, claim.id, route)), `rival at ${route.noun}`).toBe('not-found');
    expect(codeOf(await desk.client.get(rival, `/v1/claims/by-number/${String(claim.number)}`))).toBe('not-found');
    const find = await desk.client.get(rival, `/v1/claims?find=${String(claim.number)}`);
    expect(find.json()).toEqual({ items: [] });
    expect(codeOf(await desk.open(rival))).toBe('not-found');
    expect(await desk.read(claim.id)).toEqual(claim);
  });

  it('does nothing that is for the desk', async () => {
    for (const route of DESK_ONLY)
      expect(codeOf(await call(desk.home.retailerPerson, claim.id, route)), `retailer at ${route.noun}`).toBe(
        'not-allowed',
      );
  });

  it('reads neither proposal, nor names, nor reasons', async () => {
    const people = await desk.data().rows<{ name: string }>('select name from person');
    const says: string[] = [];
    const look = async (): Promise<Record<string, unknown>> => {
      const urls = ['', '/dossier', '/timeline', '/standing'].map((end) => `/v1/claims/${claim.id}${end}`);
      const answers = await Promise.all(
        [...urls, '/v1/claims'].map((url) => desk.client.get(desk.home.retailerPerson, url)),
      );
      for (const answer of answers) {
        expect(answer.statusCode).toBe(200);
        says.push(answer.body);
      }
      return answers[1]?.json<Record<string, unknown>>() ?? {};
    };
    const proposed = await look();
    expect(Object.keys(proposed).sort()).toEqual(['claim', 'decisions', 'questions']);
    expect(says.join('\n')).not.toMatch(/27000|refund"\]|assessment|probability|"because"/);
    const words = 'Because the lamp in photo two is ours.';
    const part = { outcome: 'approved in part', totalMinor: 12_345, reason: 'goodwill', words };
    await desk.acts(claim.id, [desk.home.analyst, 'decisions', part]);
    const decided = await look();
    expect(decided['decisions']).toEqual([
      {
        n: 1,
        state: 'standing',
        outcome: 'approved in part',
        remedies: ['refund'],
        totalMinor: 12_345,
        currency: 'USD',
        decidedAt: '2026-03-02T09:00:00.000Z',
      },
    ]);
    const all = says.join('\n');
    expect(all).not.toContain(words);
    expect(all).not.toContain('goodwill');
    for (const { name } of people) expect(all, `the name ${name}`).not.toContain(name);
    expect(all).not.toContain('Crew Ash');
  });

  it('does not see that a decision waits for a second person, nor one that was sent back', async () => {
    const visitId = await desk.delivered(129_900);
    const { id } = await desk.proposed({ visitId }, desk.home.retailerPerson);
    await desk.acts(id, [desk.home.analyst, 'decisions', { outcome: 'approved' }]);
    const seen = async (): Promise<string> => {
      const urls = [`/v1/claims/${id}/dossier`, `/v1/claims/${id}/timeline`, '/v1/claims'];
      const answers = await Promise.all(urls.map((url) => desk.client.get(desk.home.retailerPerson, url)));
      return answers.map((answer) => answer.body).join('\n');
    };
    expect(await seen()).not.toMatch(/second person|awaiting|116910|approved"/i);
    await desk.acts(id, [desk.second, 'decisions/1/refusal', { reason: 'Read the receipt again.' }]);
    expect(await seen()).not.toMatch(/sent back|receipt again|116910/);
  });
});

describe('the timeline', () => {
  it('tells the retailer what happened in words; the trail tells the desk who did it, link by link', async () => {
    const timeline = await desk.client.get(desk.home.retailerPerson, `/v1/claims/${claim.id}/timeline`);
    expect(timeline.json()).toEqual({
      standing: { says: 'The claim is in review.', next: 'An analyst decides.', by: claim.standing.by },
      items: [
        { at: '2026-03-02T09:00:00.000Z', kind: 'claim-drafted', says: 'The claim was opened.' },
        { at: '2026-03-02T09:00:00.000Z', kind: 'claim-filed', says: 'The claim was filed.' },
        {
          at: '2026-03-02T09:00:00.000Z',
          kind: 'claim-proposed',
          says: 'The service made a proposal; an analyst is looking at it.',
        },
      ],
    });
    const trail = (await desk.client.get(desk.home.administrator, `/v1/claims/${claim.id}/events`)).json<{
      whole: boolean;
      items: { n: number; kind: string; actor: { kind: string; name: string }; hash: string; previousHash: string }[];
    }>();
    expect(trail.whole).toBe(true);
    expect(trail.items.map(({ n, kind, actor }) => [n, kind, actor.kind])).toEqual([
      [1, 'claim-drafted', 'link'],
      [2, 'claim-filed', 'link'],
      [3, 'assessment-started', 'service'],
      [4, 'claim-proposed', 'service'],
    ]);
    expect(trail.items[1]?.previousHash).toBe(trail.items[0]?.hash);
    expect(trail.items[0]?.actor.name).toBe('Crew Ash');
  });

  it('of the dossier shows the desk the assessment with what it rests on', async () => {
    const answer = await desk.client.get(desk.home.analyst, `/v1/claims/${claim.id}/dossier`);
    expect(answer.headers['etag']).toBe('"v3"');
    expect(answer.json()).toMatchObject({
      claim: { id: claim.id, state: 'proposed' },
      assessment: {
        format: 'assessment/1',
        verdict: 'proposed',
        documents: {
          policy: { id: 'us-powered-furniture', version: 1, hash: expect.stringMatching(/^[0-9a-f]{64}$/) },
        },
        remedy: { currency: 'USD', customerTotalMinor: 27_000 },
      },
      decisions: [],
      questions: [],
    });
  });
});

describe('an API key', () => {
  const scoped = (scopes: readonly string[], retailer?: string): Promise<Hand> =>
    keyHand(desk.data(), desk.home, scopes, retailer);

  it('reads with claims:read, files with claims:write, and does nothing that is for people', async () => {
    const reads = await scoped(['claims:read']);
    const writes = await scoped(['claims:write'], desk.home.retailer);
    const none = await scoped(['visits:write']);
    expect(await idsOf(reads)).toEqual([claim.id]);
    expect(codeOf(await desk.open(reads))).toBe('not-allowed');
    expect(codeOf(await desk.client.get(none, '/v1/claims'))).toBe('not-allowed');
    expect(codeOf(await desk.client.get(writes, `/v1/claims/${claim.id}`))).toBe('not-allowed');
    const visitId = await desk.delivered();
    expect((await desk.open(writes, { visitId })).statusCode).toBe(201);
    for (const route of DESK_ONLY)
      expect(codeOf(await call(writes, claim.id, route)), `key at ${route.noun}`).toBe('not-allowed');
  });

  it('of a retailer reaches that retailer only, and shows no more than its people see', async () => {
    const elsewhere = await company(desk.data(), desk.home.tenant, 'retailer', 'quayle');
    const rival = await scoped(['claims:read', 'claims:write'], elsewhere);
    const own = await scoped(['claims:read'], desk.home.retailer);
    expect(await idsOf(rival)).toEqual([]);
    expect(codeOf(await desk.client.get(rival, `/v1/claims/${claim.id}`))).toBe('not-found');
    const dossier = await desk.client.get(own, `/v1/claims/${claim.id}/dossier`);
    expect(Object.keys(dossier.json<object>()).sort()).toEqual(['claim', 'decisions', 'questions']);
  });

  it('files under its own name, so that nobody can have filed by it what they decide', async () => {
    const key = await scoped(['claims:write'], desk.home.retailer);
    const visitId = await desk.delivered();
    const { id } = await desk.filed({ visitId }, key);
    const [row] = await desk.data().rows<{ filed_by: string }>('select filed_by from claim where id = $1', [id]);
    expect(row?.filed_by).toContain(key.id);
    expect((await desk.events(id))[0]?.actor).toMatchObject({ kind: 'key', name: 'test key' });
  });
});

describe('somebody without a credential', () => {
  it.each(ROUTES)('is asked to sign in: $method $noun', async ({ method, noun, body }) => {
    const url = `/v1/claims/${claim.id}${noun}`;
    const answer = await desk.client.send(undefined, { method, url, ...(body && { payload: body }) });
    expect([answer.statusCode, codeOf(answer)]).toEqual([401, 'sign-in-required']);
  });

  it('a crew of another visit of the same house learns nothing either', async () => {
    const elsewhere = await crewHand(desk.data(), desk.home.tenant, await desk.delivered());
    expect(codeOf(await desk.client.get(elsewhere, `/v1/claims/${claim.id}`))).toBe('not-found');
    expect(codeOf(await desk.client.get(elsewhere, `/v1/claims/by-number/${String(claim.number)}`))).toBe('not-found');
  });
});
