import { randomBytes, randomUUID } from 'node:crypto';
import { readdir } from 'node:fs/promises';
import sharp from 'sharp';
import { beforeEach, describe, expect, it } from 'vitest';
import { isProblemCode, PROBLEMS } from '../../src/platform/http/problems.js';
import { lyingPng } from '../support/broken-photos.js';
import { claimDesk, rowCounts, SERIAL } from '../support/claims.js';
import { aPhoto } from '../support/photo-desk.js';
import { digestOf } from '../support/photo-scene.js';
import { codeOf, pointersOf, visitBody, type Answered, type Hand } from '../support/resources.js';

const desk = claimDesk();
/** Everything that a person's work leaves rows in. Keys of refused requests are kept on purpose and are not work. */
const TABLES = [
  'visit',
  'visit_unit',
  'inspection',
  'inspection_answer',
  'exhibit',
  'claim',
  'claim_event',
  'claim_assessment',
  'claim_decision',
  'information_request',
  'settlement',
  'pgboss.job',
];

let inspection: string;
let draft: { readonly id: string };

/** What the crew has done so far, as the API shows it: its inspection with answers, its photos and its draft. */
async function workSoFar(): Promise<unknown[]> {
  const urls = [
    `/v1/inspections/${inspection}`,
    `/v1/inspections/${inspection}/photos`,
    `/v1/claims/${draft.id}`,
    `/v1/visits/${desk.visit}`,
  ];
  const answers = await Promise.all(urls.map((url) => desk.client.get(desk.crew, url)));
  return answers.map((answer) => {
    expect(answer.statusCode).toBe(200);
    return answer.json<unknown>();
  });
}

/** The files that hold photos. */
async function files(): Promise<string[]> {
  return (await readdir(desk.test.config.stateDir, { recursive: true })).toSorted();
}

/**
 * Sends something bad and demands a clear answer: a problem of the catalogue in the form of RFC 9457, no row and no file more or less,
 * nothing in the log that would wake somebody, and all earlier work as it was.
 */
async function refused(send: () => Promise<Answered>): Promise<Answered> {
  const before = [await rowCounts(desk.data(), TABLES), await files(), await workSoFar()];
  const answer = await send();
  const code = codeOf(answer);
  if (!isProblemCode(code)) throw new Error(`the service answered with the unknown code ${code}`);
  expect(answer.statusCode).toBe(PROBLEMS[code].status);
  expect(answer.headers['content-type']).toBe('application/problem+json');
  const problem = answer.json<Record<string, unknown>>();
  expect(problem).toMatchObject({
    type: `/problems/${code}`,
    title: PROBLEMS[code].title,
    status: PROBLEMS[code].status,
    instance: expect.stringMatching(/^\/v1\//),
    traceId: expect.stringMatching(/\S{8,}/),
  });
  expect(problem['detail']).toMatch(/^[A-Z].+\.$/s);
  expect([await rowCounts(desk.data(), TABLES), await files(), await workSoFar()]).toEqual(before);
  expect(desk.test.lines.filter(({ level }) => level === 'error')).toEqual([]);
  return answer;
}

beforeEach(async () => {
  inspection = await desk.inspected(1);
  draft = await desk.filed({
    ground: 'shortage',
    returnReason: undefined,
    wish: undefined,
    inspectionId: inspection,
    file: false,
  });
});

const post = (who: Hand, url: string, payload: string | object, type = 'application/json'): Promise<Answered> =>
  desk.client.send(who, {
    method: 'POST',
    url,
    payload,
    headers: { 'content-type': type, 'idempotency-key': `"${randomUUID()}"`, 'if-match': '*' },
  });
const raw = (payload: string | object, type?: string): Promise<Answered> =>
  post(desk.crew, '/v1/claims', payload, type);

describe('a body that is no JSON', () => {
  it.each([
    ['cut off', '{"visitId": "'],
    ['with a comma too many', '{"visitId": "x",}'],
    ['empty', ''],
    ['in single quotes', "{'visitId': 'x'}"],
    ['that would change prototypes', '{"__proto__": {"roles": ["administrator"]}}'],
  ])('%s is called that', async (_what, text) => {
    expect(codeOf(await refused(() => raw(text)))).toBe('malformed-json');
  });

  it.each([
    ['a list', '[]'],
    ['a text', '"claim"'],
    ['null', 'null'],
    ['a number', '7'],
  ])('but %s is not an object either', async (_what, text) => {
    expect(pointersOf(await refused(() => raw(text)))).toEqual(['#']);
  });

  it('of another kind is not read', async () => {
    expect(codeOf(await refused(() => raw('<claim/>', 'application/xml')))).toBe('unsupported-media-type');
    expect(codeOf(await refused(() => raw('visitId=x', 'application/x-www-form-urlencoded')))).toBe(
      'unsupported-media-type',
    );
    expect(codeOf(await refused(() => raw('hello', 'text/plain')))).toBe('unsupported-media-type');
  });

  it('or that is larger than allowed is not kept', async () => {
    const words = 'x'.repeat(desk.test.config.limits.bodyBytes);
    expect(codeOf(await refused(() => raw({ ...desk.returnBody(), words })))).toBe('body-too-large');
  });
});

describe('fields', () => {
  it('of the wrong type are named one by one', async () => {
    const body = {
      visitId: 7,
      serial: ['a'],
      ground: { is: 'damage' },
      failedRepairs: '2',
      file: 'yes',
      noticedAt: 17,
    };
    const answer = await refused(() => raw(body));
    expect(codeOf(answer)).toBe('invalid-request');
    expect(new Set(pointersOf(answer))).toEqual(new Set(Object.keys(body).map((name) => `#/${name}`)));
  });

  it('that nobody asked for are refused, at the top and inside', async () => {
    const top = await refused(() => raw({ ...desk.returnBody(), tenantId: randomUUID() }));
    expect(codeOf(top)).toBe('invalid-request');
    expect(pointersOf(top)).toEqual(['#/tenantId']);
    const url = `/v1/claims/${draft.id}/information`;
    const inside = { words: 'Here it is.', facts: { state: 'decided' } };
    const deep = await refused(() => post(desk.crew, url, inside));
    expect(codeOf(deep)).toBe('invalid-request');
    expect(pointersOf(deep)).toEqual(['#/facts/state']);
  });

  it.each([
    ['a NUL character', 'a\u0000b', '#/words'],
    ['half a character', 'a\ud800b', '#/words'],
    ['more than fits', 'a'.repeat(2001), '#/words'],
  ])('with %s are refused', async (_what, words, pointer) => {
    const body = JSON.stringify({ ...desk.returnBody(), words });
    expect(pointersOf(await refused(() => raw(body)))).toEqual([pointer]);
  });

  it('with numbers beyond any amount are refused', async () => {
    const url = `/v1/claims/${draft.id}/settlement`;
    for (const amount of ['1e999', '-1', '0.5', '9007199254740993', '"100"', 'null']) {
      const body = `{"amountMinor": ${amount}, "currency": "USD", "reference": "P-1"}`;
      const answer = await refused(() => post(desk.home.analyst, url, body));
      expect(codeOf(answer)).toBe('invalid-request');
      expect(pointersOf(answer), `amount ${amount}`).toContain('#/amountMinor');
    }
  });

  it('may hold anything that people write', async () => {
    const words = `Ω “crushed” 🛏️ \u202e'; drop table claim; -- <script>alert(1)</script> \\ %s \n\t é`;
    const made = await desk.filed({ visitId: await desk.delivered(), words }, desk.home.analyst);
    expect(await desk.read(made.id)).toMatchObject({ words });
    expect(await desk.kinds(made.id)).toEqual(['claim-drafted', 'claim-filed']);
  });
});

describe('a photo', () => {
  const put = (content: Buffer, over: { id?: string; query?: string; name?: string } = {}): Promise<Answered> =>
    desk.client.send(desk.crew, {
      method: 'PUT',
      url: `/v1/inspections/${inspection}/photos/${over.id ?? randomUUID()}?${over.query ?? 'item=contents-count&shows=extra'}`,
      payload: content,
      headers: { 'content-type': 'image/jpeg', 'content-digest': digestOf(content) },
    });

  it('whose file was cut off inside its head is refused', async () => {
    const photo = await aPhoto();
    expect(codeOf(await refused(() => put(photo.subarray(0, 120))))).toBe('photo-damaged');
  });

  it('whose picture was cut off is kept as it came, and the missing part is told to whoever can take it again', async () => {
    const points = { width: 64, height: 64, channels: 3 } as const;
    const photo = await sharp(randomBytes(64 * 64 * 3), { raw: points })
      .jpeg()
      .toBuffer();
    const id = randomUUID();
    const answer = await put(photo.subarray(0, photo.length / 2), { id });
    expect(answer.statusCode).toBe(201);
    await desk.assess();
    const seen = await desk.client.get(desk.crew, `/v1/photos/${id}`);
    expect(seen.json()).toMatchObject({
      state: 'read',
      reading: { truncated: true, doubts: [{ kind: 'truncated', says: expect.stringMatching(/ends too early/) }] },
    });
  });

  it('that is a text file by the name of .jpg is refused', async () => {
    expect(codeOf(await refused(() => put(Buffer.from('This is not a photo.\n'.repeat(100)))))).toBe(
      'photo-not-an-image',
    );
  });

  it('of 60,000 × 60,000 points is refused before anybody unpacks it', async () => {
    expect(codeOf(await refused(() => put(lyingPng(60_000, 60_000))))).toBe('photo-too-many-pixels');
  });

  it('of no bytes is refused', async () => {
    expect(codeOf(await refused(() => put(Buffer.alloc(0))))).toBe('photo-empty');
  });

  it('that arrives other than it was sent is refused', async () => {
    const [sent, arrived] = [await aPhoto(), await aPhoto()];
    expect(
      codeOf(
        await refused(() =>
          desk.client.send(desk.crew, {
            method: 'PUT',
            url: `/v1/inspections/${inspection}/photos/${randomUUID()}?item=contents-count&shows=extra`,
            payload: arrived,
            headers: { 'content-type': 'image/jpeg', 'content-digest': digestOf(sent) },
          }),
        ),
      ),
    ).toBe('photo-digest-mismatch');
  });

  it('sent twice is one exhibit, under its own id and under another', async () => {
    const photo = await aPhoto();
    const id = randomUUID();
    expect((await put(photo, { id })).statusCode).toBe(201);
    const before = await rowCounts(desk.data(), TABLES);
    const again = await put(photo, { id });
    const other = await put(photo);
    expect([again.statusCode, other.statusCode]).toEqual([200, 200]);
    expect(other.json<{ sameAs: string }>().sameAs).toBe(id);
    expect(await rowCounts(desk.data(), TABLES)).toEqual(before);
    expect(codeOf(await refused(async () => put(await aPhoto(), { id })))).toBe('photo-id-taken');
  });

  it('of something the checklist does not ask for is refused', async () => {
    const photo = await aPhoto();
    const answer = await refused(() => put(photo, { query: 'item=the-cat&shows=wide' }));
    expect(codeOf(answer)).toBe('invalid-request');
    expect(pointersOf(answer)).toEqual(['#/item']);
  });
});

describe('an inspection', () => {
  const answer = (item: string, value: unknown): Promise<Answered> =>
    post(desk.crew, `/v1/inspections/${inspection}/answers`, {
      answers: [
        { item: 'frame-square', value: 3, answeredAt: '2026-03-02T08:40:00Z' },
        { item, value, answeredAt: '2026-03-02T08:41:00Z' },
      ],
    });

  it('takes no answer to an item that is not asked, nor anything else of that batch', async () => {
    const refusedAnswer = await refused(() => answer('damage-lines-up', 'yes'));
    expect(codeOf(refusedAnswer)).toBe('item-not-asked');
    expect(pointersOf(refusedAnswer)).toEqual(['#/answers/1/item']);
  });

  it('takes no answer that does not fit, nor one to an item that does not exist', async () => {
    const wrong = await refused(() => answer('frame-damage', ['gnawed']));
    expect(codeOf(wrong)).toBe('answer-invalid');
    expect(pointersOf(wrong)).toEqual(['#/answers/1/value/0']);
    expect(pointersOf(await refused(() => answer('the-cat', 'yes')))).toEqual(['#/answers/1/item']);
  });

  it('is not begun for a serial number that is not in the visit', async () => {
    const begin = { id: randomUUID(), serial: 'DR7K999999', startedAt: '2026-03-02T08:30:00Z' };
    const told = await refused(() => post(desk.crew, `/v1/visits/${desk.visit}/inspections`, begin));
    expect(codeOf(told)).toBe('serial-not-in-visit');
    expect(told.json<{ detail: string }>().detail).toContain(SERIAL);
  });
});

describe('a claim', () => {
  it('for a serial number that is not in the visit is not opened', async () => {
    const told = await refused(() => raw(desk.returnBody({ serial: 'DR7K999999' })));
    expect(codeOf(told)).toBe('serial-not-in-visit');
    expect(told.json<{ detail: string }>().detail).toContain(SERIAL);
  });

  it('is planned, decided and settled in its own currency only', async () => {
    const order = { ...(visitBody()['order'] as object), currency: 'EUR' };
    expect(codeOf(await refused(() => post(desk.home.analyst, '/v1/visits', visitBody({ order }))))).toBe(
      'amount-currency-differs',
    );
    await desk.acts(draft.id, [desk.crew, 'filing']);
    await desk.assess();
    const decision = { outcome: 'approved', totalMinor: 100, currency: 'EUR' };
    const at = `/v1/claims/${draft.id}`;
    expect(codeOf(await refused(() => post(desk.home.analyst, `${at}/decisions`, decision)))).toBe(
      'amount-currency-differs',
    );
    await desk.acts(
      draft.id,
      [desk.home.analyst, 'decisions', { outcome: 'approved' }],
      [desk.home.analyst, 'settlement-order', {}],
    );
    const paid = { amountMinor: 0, currency: 'EUR', reference: 'PART-1' };
    expect(codeOf(await refused(() => post(desk.home.analyst, `${at}/settlement`, paid)))).toBe(
      'amount-currency-differs',
    );
  });

  it('that was withdrawn is not decided', async () => {
    await desk.acts(draft.id, [desk.crew, 'filing']);
    await desk.assess();
    await desk.acts(draft.id, [desk.home.analyst, 'withdrawal', { reason: 'The box was behind the sofa.' }]);
    const decide = (): Promise<Answered> =>
      post(desk.home.analyst, `/v1/claims/${draft.id}/decisions`, { outcome: 'approved' });
    expect(codeOf(await refused(decide))).toBe('claim-withdrawn');
  });

  it('on which two analysts work at once takes the first, and the second keeps what they wrote to send it again', async () => {
    await desk.acts(draft.id, [desk.crew, 'filing']);
    await desk.assess();
    const { version } = await desk.read(draft.id);
    const seen = `"v${version}"`;
    const asked = { asked: 'Was the tape on the carton the maker’s?', of: 'crew' };
    const ask = (): Promise<Answered> => desk.actAt(desk.second, draft.id, 'questions', seen, asked);
    await desk.acts(draft.id, [desk.home.analyst, 'assessments', { words: 'A photo more.' }]);
    const late = await refused(ask);
    expect(codeOf(late)).toBe('version-changed');
    expect(late.json<{ currentVersion: number }>().currentVersion).toBe(version + 1);
    await desk.assess();
    expect(await desk.acts(draft.id, [desk.second, 'questions', asked])).toMatchObject({ state: 'needs information' });
  });

  it('is asked for by an id only', async () => {
    for (const id of ['1', 'undefined', '..%2f..%2fetc', '%00', `${draft.id}'`, '00000000-0000-0000-0000-000000000000'])
      expect(codeOf(await refused(() => desk.client.get(desk.home.analyst, `/v1/claims/${id}`)))).toBe('not-found');
    expect(
      codeOf(
        await refused(() => desk.client.send(desk.home.analyst, { method: 'DELETE', url: `/v1/claims/${draft.id}` })),
      ),
    ).toBe('method-not-allowed');
  });

  it('is changed only with an If-Match that is one', async () => {
    const url = `/v1/claims/${draft.id}/filing`;
    const tries = { v1: 'invalid-request', '""': 'version-changed', '"v01x"': 'version-changed' } as const;
    for (const [header, code] of Object.entries(tries))
      expect(codeOf(await refused(() => desk.client.post(desk.crew, url, {}, { 'if-match': header })))).toBe(code);
  });
});
