import { describe, expect, it } from 'vitest';
import { claimDesk, type ClaimView } from '../support/claims.js';
import { codeOf, hand, pointersOf, type Answered } from '../support/resources.js';

const desk = claimDesk();
/** What a refund of the small price comes to: 300.00 less 10 % for restocking, as the shipped policy of the United States has it. */
const REFUND = 27_000;
const APPROVED = { outcome: 'approved' } as const;
const WHY = { reason: 'evidence read otherwise', words: 'The photos show it plainly.' } as const;

interface Dossier {
  readonly claim: ClaimView;
  readonly decisions: readonly Record<string, unknown>[];
  readonly questions: readonly Record<string, unknown>[];
  readonly assessment?: Record<string, unknown>;
}
const dossier = async (id: string, who = desk.home.analyst): Promise<Dossier> =>
  (await desk.client.get(who, `/v1/claims/${id}/dossier`)).json<Dossier>();
const refusal = (answer: Answered): [number, string] => [answer.statusCode, codeOf(answer)];
const large = async (): Promise<ClaimView> =>
  desk.proposed({ visitId: await desk.delivered(129_900) }, desk.home.retailerPerson);

describe('the life of a claim', () => {
  it('goes from filing over questions, a decision and money to the end, every step in the trail', async () => {
    const { analyst, retailerPerson } = desk.home;
    const { id } = await desk.proposed();
    const asked = await desk.acts(id, [
      analyst,
      'questions',
      { asked: 'Was the carton still sealed?', of: 'retailer' },
    ]);
    expect(asked).toMatchObject({
      state: 'needs information',
      standing: { says: 'We are waiting for information.' },
    });
    expect((await desk.client.get(analyst, `/v1/claims/${id}/standing`)).json<{ next: string }>().next).toBe(
      'Was the carton still sealed?',
    );
    const told = { words: 'It was sealed.', facts: { packaging: 'kept' } };
    expect(await desk.acts(id, [retailerPerson, 'information', told])).toMatchObject({ state: 'filed' });
    expect(await desk.assess()).toBe(1);
    expect(await desk.acts(id, [analyst, 'decisions', APPROVED])).toMatchObject({ state: 'decided' });
    expect(await desk.acts(id, [analyst, 'settlement-order', {}])).toMatchObject({ state: 'settling' });
    const paid = { amountMinor: REFUND, currency: 'USD', reference: 'PAY-1' };
    expect(await desk.acts(id, [analyst, 'settlement', paid])).toMatchObject({ state: 'settled' });
    const closed = await desk.acts(id, [analyst, 'closure', { words: 'Nothing left to do.' }]);
    expect(closed).toMatchObject({ state: 'closed', standing: { by: null } });
    expect(await desk.kinds(id)).toEqual([
      'claim-drafted',
      'claim-filed',
      'assessment-started',
      'claim-proposed',
      'information-asked',
      'information-given',
      'assessment-started',
      'claim-proposed',
      'decision-made',
      'claim-decided',
      'settlement-ordered',
      'claim-settled',
      'claim-closed',
    ]);
    const { questions, decisions } = await dossier(id);
    expect(questions).toEqual([
      {
        asked: 'Was the carton still sealed?',
        of: 'retailer',
        askedAt: '2026-03-02T09:00:00.000Z',
        answer: 'It was sealed.',
        answeredAt: '2026-03-02T09:00:00.000Z',
      },
    ]);
    expect(decisions).toMatchObject([{ n: 1, state: 'standing', outcome: 'approved', totalMinor: REFUND }]);
  });

  it('is opened again by an appeal; the new decision supersedes the old one, which stays readable', async () => {
    const { analyst, retailerPerson } = desk.home;
    const { id } = await desk.proposed();
    await desk.acts(id, [analyst, 'decisions', { outcome: 'declined', ...WHY }], [analyst, 'closure', {}]);
    const reopened = await desk.acts(id, [retailerPerson, 'appeals', { words: 'It came inside the window.' }]);
    expect(reopened).toMatchObject({ state: 'filed' });
    await desk.assess();
    expect((await dossier(id)).decisions).toMatchObject([{ n: 1, state: 'standing' }]);
    await desk.acts(id, [desk.second, 'decisions', APPROVED]);
    expect((await dossier(id)).decisions).toMatchObject([
      { n: 1, state: 'superseded', outcome: 'declined', totalMinor: 0, reason: WHY.reason, words: WHY.words },
      { n: 2, state: 'standing', outcome: 'approved', totalMinor: REFUND },
    ]);
    expect((await desk.kinds(id)).slice(-6)).toEqual([
      'claim-closed',
      'claim-reopened',
      'assessment-started',
      'claim-proposed',
      'decision-made',
      'claim-decided',
    ]);
  });

  it('has words to the retailer apart from those of the desk, whoever confirms it', async () => {
    const { analyst, retailerPerson } = desk.home;
    const { id } = await desk.proposed();
    const toRetailer = { en: '  Please keep the old unit for the driver. ', es: 'Guarde la unidad anterior.' };
    await desk.acts(id, [analyst, 'decisions', { outcome: 'declined', ...WHY, toRetailer }]);
    const kept = { en: 'Please keep the old unit for the driver.', es: 'Guarde la unidad anterior.' };
    const read = async (who: typeof analyst) => (await dossier(id, who)).decisions[0];
    expect(await read(analyst)).toMatchObject({ toRetailer: kept, words: WHY.words });
    expect(await read(retailerPerson)).toMatchObject({ toRetailer: kept });
    expect(await read(retailerPerson)).not.toHaveProperty('words');
    await desk.acts(id, [retailerPerson, 'appeals', { words: 'It came inside the window.' }]);
    await desk.assess();
    const long = { en: 'x'.repeat(2001) };
    const refused = await desk.act(desk.second, id, 'decisions', { ...APPROVED, toRetailer: long });
    expect(refused.statusCode).toBe(400);
    await desk.acts(id, [desk.second, 'decisions', { ...APPROVED, toRetailer: { en: ' ' } }]);
    expect((await dossier(id)).decisions[1]).not.toHaveProperty('toRetailer');
  });

  it('is not opened again while another claim on the unit is open', async () => {
    const { analyst, retailerPerson } = desk.home;
    const first = await desk.proposed();
    await desk.acts(first.id, [analyst, 'decisions', { outcome: 'declined', ...WHY }], [analyst, 'closure', {}]);
    await desk.filed();
    const refused = await desk.act(retailerPerson, first.id, 'appeals', { words: 'It was not fair.' });
    expect(refusal(refused)).toEqual([409, 'duplicate-claim']);
    expect((await desk.read(first.id)).state).toBe('closed');
    expect((await desk.kinds(first.id)).at(-1)).toBe('claim-closed');
  });

  it('is looked at again when facts come after the proposal', async () => {
    const { analyst } = desk.home;
    const { id } = await desk.proposed();
    const facts = { receipt: 'exceptions noted', receiptWords: 'Box torn', deliveredAt: '2026-03-01T10:00:00+01:00' };
    await desk.acts(id, [analyst, 'assessments', { words: 'The receipt turned up.', facts }]);
    await desk.assess();
    const rows = await desk
      .data()
      .rows<{ facts: { delivery: { receipt: string }; events: { delivered: string } } }>(
        'select facts from claim_assessment where claim_id = $1 order by made_at, id',
        [id],
      );
    expect(rows.map((row) => row.facts.delivery.receipt).sort()).toEqual(['clean', 'exceptions noted']);
    expect(rows.map((row) => row.facts.events.delivered)).toContain('2026-03-01T09:00:00.000Z');
    expect((await desk.kinds(id)).filter((kind) => kind === 'claim-proposed')).toHaveLength(2);
  });

  it('waits for facts, and says which, when what is on record contradicts itself', async () => {
    const { analyst } = desk.home;
    const { id } = await desk.proposed();
    const facts = { deliveredAt: '2026-01-02T08:55:00Z' };
    await desk.acts(id, [analyst, 'assessments', { words: 'It came before it was ordered.', facts }]);
    await desk.assess();
    const claim = await desk.read(id);
    expect(claim.state).toBe('needs information');
    expect((await dossier(id)).questions).toMatchObject([
      { of: 'retailer', asked: expect.stringMatching(/^The claim cannot be assessed yet: .+\.$/) },
    ]);
    expect((await desk.kinds(id)).at(-1)).toBe('information-asked');
  });
});

describe('facts that come later', () => {
  it('carry an offset, lie in the past and are known by name, or nothing is changed', async () => {
    const { id } = await desk.proposed();
    const look = (facts: object): Promise<Answered> =>
      desk.act(desk.home.analyst, id, 'assessments', { words: 'See here.', facts });
    const bad = await look({ noticeToCarrierAt: '2026-03-01T08:00:00', packaging: 'burnt', colour: 'red' });
    expect(new Set(pointersOf(bad))).toEqual(
      new Set(['#/facts/noticeToCarrierAt', '#/facts/packaging', '#/facts/colour']),
    );
    const ahead = '2026-03-09T08:00:00Z';
    const future = await look({ deliveredAt: ahead, noticeToCarrierAt: ahead });
    expect(pointersOf(future)).toEqual(['#/facts/deliveredAt', '#/facts/noticeToCarrierAt']);
    expect(await desk.read(id)).toMatchObject({ state: 'proposed', version: 3 });
  });
});

describe('a decision', () => {
  it('follows the proposal without more, and departs from it only with a reason and words', async () => {
    const { analyst } = desk.home;
    const { id } = await desk.proposed();
    for (const wish of [
      { outcome: 'declined' },
      { outcome: 'declined', reason: 'goodwill' },
      { outcome: 'declined', reason: 'goodwill', words: 'no       ' },
      { outcome: 'approved in part', totalMinor: 10_000 },
      { outcome: 'approved', remedies: ['part'] },
    ]) {
      expect(refusal(await desk.act(analyst, id, 'decisions', wish)), `wish ${JSON.stringify(wish)}`).toEqual([
        422,
        'reason-required',
      ]);
    }
    const part = { outcome: 'approved in part', totalMinor: 10_000, ...WHY };
    await desk.acts(id, [analyst, 'decisions', part]);
    expect((await dossier(id)).decisions).toMatchObject([
      { outcome: 'approved in part', totalMinor: 10_000, overrides: true, ...WHY },
    ]);
  });

  it('names amounts in the currency of the claim, and no more than the customer paid', async () => {
    const { analyst } = desk.home;
    const { id } = await desk.proposed();
    const wrong = await desk.act(analyst, id, 'decisions', { ...APPROVED, currency: 'EUR', totalMinor: REFUND });
    expect(refusal(wrong)).toEqual([422, 'amount-currency-differs']);
    const more = await desk.act(analyst, id, 'decisions', { ...APPROVED, totalMinor: 30_001, ...WHY });
    expect(refusal(more)).toEqual([422, 'amount-exceeds']);
    const bad = await desk.act(analyst, id, 'decisions', { outcome: 'approved', totalMinor: 0.5, remedies: [] });
    expect(pointersOf(bad)).toEqual(expect.arrayContaining(['#/totalMinor', '#/remedies']));
    expect(await desk.counts()).toMatchObject({ claim_decision: 0 });
  });

  it('is not made by whoever filed the claim', async () => {
    const { analyst } = desk.home;
    const { id } = await desk.proposed({}, analyst);
    expect(refusal(await desk.act(analyst, id, 'decisions', APPROVED))).toEqual([403, 'own-claim']);
    expect(await desk.acts(id, [desk.second, 'decisions', APPROVED])).toMatchObject({ state: 'decided' });
  });

  it('comes after a proposal and once', async () => {
    const { analyst } = desk.home;
    const { id } = await desk.filed();
    expect(refusal(await desk.act(analyst, id, 'decisions', APPROVED))).toEqual([409, 'claim-state-forbids']);
    await desk.assess();
    await desk.acts(id, [analyst, 'decisions', APPROVED]);
    expect(refusal(await desk.act(desk.second, id, 'decisions', APPROVED))).toEqual([409, 'claim-state-forbids']);
  });

  it('above the limit of the policy waits for a second person, who is neither the first nor the one who filed', async () => {
    const { analyst } = desk.home;
    const visitId = await desk.delivered(129_900);
    const { id } = await desk.proposed({ visitId }, desk.second);
    const third = await hand(desk.data(), desk.home.tenant, ['analyst']);
    const made = await desk.acts(id, [analyst, 'decisions', APPROVED]);
    expect(made.state).toBe('proposed');
    expect((await dossier(id)).decisions).toMatchObject([{ n: 1, state: 'awaiting second person' }]);
    expect(refusal(await desk.act(analyst, id, 'decisions/1/confirmation'))).toEqual([403, 'same-person']);
    expect(refusal(await desk.act(desk.second, id, 'decisions/1/confirmation'))).toEqual([403, 'own-claim']);
    expect(refusal(await desk.act(third, id, 'decisions/2/confirmation'))).toEqual([409, 'claim-state-forbids']);
    expect(refusal(await desk.act(third, id, 'decisions/x/confirmation'))).toEqual([404, 'not-found']);
    expect(refusal(await desk.act(third, id, 'decisions', APPROVED))).toEqual([409, 'claim-state-forbids']);
    expect(refusal(await desk.act(analyst, id, 'questions', { asked: 'Anything?', of: 'crew' }))).toEqual([
      409,
      'claim-state-forbids',
    ]);
    expect(await desk.acts(id, [third, 'decisions/1/confirmation', {}])).toMatchObject({ state: 'decided' });
    const [decision] = (await dossier(id)).decisions;
    expect(decision).toMatchObject({
      state: 'standing',
      decidedBy: expect.any(String),
      confirmedBy: expect.any(String),
    });
    expect(decision?.['decidedBy']).not.toBe(decision?.['confirmedBy']);
  });

  it('is sent back by the second person, and another one is made', async () => {
    const { analyst } = desk.home;
    const { id } = await large();
    await desk.acts(id, [analyst, 'decisions', APPROVED]);
    const words = { reason: 'The window had ended.' };
    expect(refusal(await desk.act(analyst, id, 'decisions/1/refusal', words))).toEqual([403, 'same-person']);
    expect(await desk.acts(id, [desk.second, 'decisions/1/refusal', words])).toMatchObject({ state: 'proposed' });
    await desk.acts(id, [desk.second, 'decisions', { outcome: 'declined', ...WHY }]);
    expect((await dossier(id)).decisions).toMatchObject([
      { n: 1, state: 'sent back', sentBackBecause: words.reason },
      { n: 2, state: 'standing', outcome: 'declined' },
    ]);
    expect((await desk.kinds(id)).slice(-4)).toEqual([
      'decision-made',
      'decision-sent-back',
      'decision-made',
      'claim-decided',
    ]);
  });
});

describe('settling', () => {
  it('follows an order, and pays exactly what was decided in the currency of the claim', async () => {
    const { analyst } = desk.home;
    const { id } = await desk.proposed();
    await desk.acts(id, [analyst, 'decisions', APPROVED]);
    const pay = (over: object = {}): Promise<Answered> =>
      desk.act(analyst, id, 'settlement', { amountMinor: REFUND, currency: 'USD', reference: 'PAY-1', ...over });
    expect(refusal(await pay())).toEqual([409, 'claim-state-forbids']);
    expect(refusal(await desk.act(analyst, id, 'closure'))).toEqual([409, 'claim-state-forbids']);
    await desk.acts(id, [analyst, 'settlement-order', {}]);
    expect(refusal(await pay({ currency: 'EUR' }))).toEqual([422, 'amount-currency-differs']);
    expect(refusal(await pay({ amountMinor: REFUND + 1 }))).toEqual([422, 'amount-exceeds']);
    expect(refusal(await pay({ amountMinor: REFUND - 1 }))).toEqual([422, 'amount-exceeds']);
    expect(await desk.counts()).toMatchObject({ settlement: 0 });
    expect((await pay()).statusCode).toBe(201);
    expect(await desk.data().rows('select amount_minor, currency, reference from settlement')).toEqual([
      { amount_minor: String(REFUND), currency: 'USD', reference: 'PAY-1' },
    ]);
    expect(refusal(await pay())).toEqual([409, 'claim-state-forbids']);
  });

  it('is left out where the claim was declined', async () => {
    const { analyst } = desk.home;
    const { id } = await desk.proposed();
    await desk.acts(id, [analyst, 'decisions', { outcome: 'declined', ...WHY }]);
    expect(refusal(await desk.act(analyst, id, 'settlement-order'))).toEqual([409, 'claim-state-forbids']);
    expect(await desk.acts(id, [analyst, 'closure', {}])).toMatchObject({ state: 'closed' });
  });
});

describe('after an appeal', () => {
  it('only what is still due is paid, and the claim cannot be taken back meanwhile', async () => {
    const { analyst, retailerPerson } = desk.home;
    const { id } = await desk.proposed();
    const part = { outcome: 'approved in part', totalMinor: REFUND - 5_000, ...WHY };
    const paid = (amountMinor: number) => ({ amountMinor, currency: 'USD', reference: `PAY-${amountMinor}` });
    await desk.acts(
      id,
      [analyst, 'decisions', part],
      [analyst, 'settlement-order', {}],
      [analyst, 'settlement', paid(REFUND - 5_000)],
      [retailerPerson, 'appeals', { words: 'The carton was never opened.' }],
    );
    await desk.assess();
    expect(refusal(await desk.act(analyst, id, 'withdrawal', { reason: 'No more.' }))).toEqual([
      409,
      'claim-state-forbids',
    ]);
    await desk.acts(id, [analyst, 'decisions', APPROVED], [analyst, 'settlement-order', {}]);
    expect(refusal(await desk.act(analyst, id, 'settlement', paid(REFUND)))).toEqual([422, 'amount-exceeds']);
    await desk.acts(id, [analyst, 'settlement', paid(5_000)]);
    const [sum] = await desk.data().rows('select sum(amount_minor)::int as total from settlement');
    expect(sum).toEqual({ total: REFUND });
  });
});

describe('a claim that no policy covers', () => {
  it('asks in words instead of standing still', async () => {
    const visitId = await desk.delivered(30_000, { jurisdiction: 'FR' });
    const { id } = await desk.filed({ visitId }, desk.home.retailerPerson);
    await desk.assess();
    expect(await desk.read(id)).toMatchObject({ state: 'needs information' });
    const [question] = await desk.data().rows<{ asked: string }>('select asked from information_request');
    expect(question?.asked).toMatch(/^The claim cannot be assessed yet: .*FR.*\.$/);
  });
});
