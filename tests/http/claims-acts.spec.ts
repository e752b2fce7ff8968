import { describe, expect, it } from 'vitest';
import { claimDesk } from '../support/claims.js';
import { codeOf, type Answered } from '../support/resources.js';

const desk = claimDesk();
const APPROVED = { outcome: 'approved' } as const;
const refusal = (answer: Answered): [number, string] => [answer.statusCode, codeOf(answer)];

/** Every act on a claim, with a body that would do. */
const ACTS: readonly { readonly noun: string; readonly body?: object }[] = [
  { noun: 'filing' },
  { noun: 'withdrawal', body: { reason: 'We changed our mind.' } },
  { noun: 'questions', body: { asked: 'Anything else?', of: 'crew' } },
  { noun: 'information', body: { words: 'Nothing else.' } },
  { noun: 'assessments', body: { words: 'Look again.' } },
  { noun: 'decisions', body: APPROVED },
  { noun: 'decisions/1/confirmation' },
  { noun: 'decisions/1/refusal', body: { reason: 'Not like this.' } },
  { noun: 'settlement-order', body: {} },
  { noun: 'settlement', body: { amountMinor: 0, currency: 'USD', reference: 'PAY-1' } },
  { noun: 'closure', body: {} },
  { noun: 'appeals', body: { words: 'Please look again.' } },
];

describe('a withdrawn claim', () => {
  it.each(ACTS)('refuses $noun', async ({ noun, body }) => {
    const { id } = await desk.proposed();
    await desk.acts(id, [desk.home.analyst, 'withdrawal', { reason: 'It works after all.' }]);
    const before = await desk.counts();
    const refused = await desk.act(desk.second, id, noun, body);
    expect(refusal(refused)).toEqual([409, 'claim-withdrawn']);
    expect(refused.json<{ detail: string }>().detail).toMatch(/withdrawn.*\.$/);
    expect({ ...(await desk.counts()), idempotency_key: 0 }).toEqual({ ...before, idempotency_key: 0 });
  });

  it('waits for nobody any more, also when a decision was waiting', async () => {
    const visitId = await desk.delivered(129_900);
    const { id } = await desk.proposed({ visitId }, desk.home.retailerPerson);
    await desk.acts(id, [desk.home.analyst, 'decisions', APPROVED]);
    await desk.acts(id, [desk.home.retailerPerson, 'withdrawal', { reason: 'It works after all.' }]);
    expect(refusal(await desk.act(desk.second, id, 'decisions/1/confirmation'))).toEqual([409, 'claim-withdrawn']);
    const list = await desk.client.get(desk.home.analyst, '/v1/claims?state=withdrawn');
    expect(list.json<{ items: object[] }>().items).toMatchObject([{ id, awaitingSecondPerson: false }]);
  });

  it('cannot be made of a decided one', async () => {
    const { id } = await desk.proposed();
    await desk.acts(id, [desk.home.analyst, 'decisions', APPROVED]);
    const late = await desk.act(desk.home.retailerPerson, id, 'withdrawal', { reason: 'Too late.' });
    expect(refusal(late)).toEqual([409, 'claim-state-forbids']);
  });
});

describe('a note', () => {
  it('stands in the trail with who wrote it, changes nothing else, and is read by nobody outside the desk', async () => {
    const words = 'The depot calls back on Thursday.';
    const { id, state } = await desk.proposed();
    const noted = await desk.acts(id, [desk.second, 'notes', { words }]);
    expect([noted.state, noted.version]).toEqual([state, 4]);
    expect((await desk.kinds(id)).at(-1)).toBe('note-written');
    const trail = await desk.client.get(desk.home.analyst, `/v1/claims/${id}/events`);
    expect(trail.json<{ whole: boolean; items: object[] }>()).toMatchObject({ whole: true });
    expect(trail.json<{ items: object[] }>().items.at(-1)).toMatchObject({ body: { words } });
    for (const address of [`/v1/claims/${id}/timeline`, `/v1/claims/${id}/dossier`, `/v1/claims/${id}`]) {
      const read = await desk.client.get(desk.home.retailerPerson, address);
      expect([read.statusCode, read.body.includes(words)]).toEqual([200, false]);
    }
  });

  it('is written by analysts alone, and is not empty', async () => {
    const { id } = await desk.proposed();
    const words = 'Call the depot.';
    for (const who of [desk.home.retailerPerson, desk.crew, desk.home.owner]) {
      expect(refusal(await desk.act(who, id, 'notes', { words }))).toEqual([403, 'not-allowed']);
    }
    expect(refusal(await desk.act(desk.home.analyst, id, 'notes', { words: '' }))[0]).toBe(400);
    expect(await desk.kinds(id)).not.toContain('note-written');
  });
});

describe('If-Match', () => {
  it.each(ACTS)(
    'is demanded by $noun: 428 without it, 412 with an older version, and nothing happens',
    async ({ noun, body }) => {
      const { id } = await desk.proposed();
      const before = await desk.counts();
      const url = `/v1/claims/${id}/${noun}`;
      const without = await desk.client.post(desk.home.analyst, url, body);
      expect(refusal(without)).toEqual([428, 'precondition-required']);
      const stale = await desk.actAt(desk.home.analyst, id, noun, '"v2"', body);
      expect(refusal(stale)).toEqual([412, 'version-changed']);
      expect(stale.json<{ currentVersion: number }>().currentVersion).toBe(3);
      expect(refusal(await desk.actAt(desk.home.analyst, id, noun, 'W/"v3"', body))).toEqual([412, 'version-changed']);
      expect({ ...(await desk.counts()), idempotency_key: 0 }).toEqual({ ...before, idempotency_key: 0 });
      expect((await desk.read(id)).version).toBe(3);
    },
  );
});
