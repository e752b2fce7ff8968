import { describe, expect, it } from 'vitest';
import { contentHash } from '../../src/kernel/canonical-json.js';
import { claimDesk } from '../support/claims.js';
import {
  accountsOf,
  actOn,
  actsOn,
  BENT_FRAME,
  bentFrame,
  decidedBentFrame,
  recoveriesOf,
  recoveryOn,
  type RecoveryView,
} from '../support/recoveries.js';
import { codeOf, house, pointersOf, statusesOf, type Answered } from '../support/resources.js';

const desk = claimDesk();
const refusal = (answer: Answered): [number, string] => [answer.statusCode, codeOf(answer)];
const usd = (amountMinor: number): { amountMinor: number; currency: string } => ({ amountMinor, currency: 'USD' });
const WHY = { reason: 'goodwill', words: 'They have waited long enough.' } as const;

/** Every currency of the ledger sums to zero, in each transfer, each claim and in total. */
async function ledgerBalances(): Promise<void> {
  const rows = await desk.data().rows<{ unbalanced: string }>(
    `select count(*) as unbalanced from (
       select 1 from posting group by transfer_id, currency having sum(amount_minor) <> 0
       union all select 1 from posting group by claim_id, currency having sum(amount_minor) <> 0
       union all select 1 from posting group by tenant_id, currency having sum(amount_minor) <> 0) wrong`,
  );
  expect(rows[0]?.unbalanced).toBe('0');
}

describe('a recovery', () => {
  it('is opened on whoever answers once a decision stands, in the same step as the liability to pay', async () => {
    const claim = await bentFrame(desk);
    expect(await recoveriesOf(desk, claim)).toEqual([]);
    expect(await accountsOf(desk, claim)).toEqual({});
    await desk.acts(claim, [desk.home.analyst, 'decisions', { outcome: 'approved', ...WHY }]);
    // The part, its freight and the visit are owed to suppliers; the customer gets no money.
    expect(await accountsOf(desk, claim)).toEqual({ loss: BENT_FRAME, supply: -BENT_FRAME });
    await desk.assess();
    const recovery = await recoveryOn(desk, claim, 'carrier');
    expect(recovery).toMatchObject({
      state: 'open',
      demandedMinor: BENT_FRAME,
      outstandingMinor: 0,
      cap: { basis: 'not known', limitMinor: null },
    });
    expect(recovery.reference).toMatch(/^\d{9} carrier$/);
    expect(recovery.needs.map(({ what }) => what)).toContain('transport');
    // A second run of the job changes nothing.
    await desk
      .data()
      .rows(`update pgboss.job set state = 'created', completed_on = null where name = 'open-recoveries'`);
    await desk.assess();
    expect(await recoveriesOf(desk, claim)).toEqual([recovery]);
  });

  it('goes from open to paid, every amount in the ledger and every act in a whole chain', async () => {
    const claim = await decidedBentFrame(desk);
    const { id } = await recoveryOn(desk, claim, 'carrier');
    const sent = await actsOn(desk, id, ['sending', { words: 'By e-mail.' }]);
    expect(sent).toMatchObject({ state: 'sent', outstandingMinor: BENT_FRAME, sentAt: '2026-03-02T09:00:00.000Z' });
    expect(await accountsOf(desk, claim)).toEqual({ 'party:carrier': BENT_FRAME, supply: -BENT_FRAME });
    await actsOn(
      desk,
      id,
      ['acknowledgment', { reference: 'CL-20931' }],
      ['offers', { ...usd(20_000), words: 'Half now.' }],
    );
    const part = await actsOn(desk, id, ['payments', { ...usd(20_000), reference: 'PAY-1' }]);
    expect(part).toMatchObject({ state: 'paid in part', outstandingMinor: BENT_FRAME - 20_000 });
    const rest = await actsOn(desk, id, ['payments', { ...usd(BENT_FRAME - 20_000), reference: 'PAY-2' }]);
    expect(rest).toMatchObject({ state: 'paid', paidMinor: BENT_FRAME, outstandingMinor: 0 });
    expect(await accountsOf(desk, claim)).toEqual({ bank: BENT_FRAME, supply: -BENT_FRAME });
    await ledgerBalances();
    const file = (await desk.client.get(desk.home.analyst, `/v1/recoveries/${id}`)).json<{
      events: { n: number; kind: string }[];
      clocks: { id: string; state: string }[];
    }>();
    expect(file.events.map(({ kind }) => kind)).toEqual([
      'recovery-opened',
      'demand-sent',
      'demand-acknowledged',
      'offer-made',
      'payment-received',
      'payment-received',
    ]);
    // 49 CFR 370.5: the carrier acknowledged within 30 days of receipt.
    expect(file.clocks.find((clock) => clock.id === 'CLK-US-ACKNOWLEDGE')?.state).toBe('met');
    const chain = await desk
      .data()
      .rows<Record<string, unknown> & { at: Date; hash: string; previousHash: string }>(
        `select n, kind, at, actor, body, previous_hash "previousHash", hash from recovery_event where recovery_id = $1 order by n`,
        [id],
      );
    chain.forEach(({ hash, ...event }, index) => {
      expect(event.previousHash).toBe(chain[index - 1]?.hash ?? '0'.repeat(64));
      expect(contentHash({ ...event, at: event.at.toISOString() })).toBe(hash);
    });
  });

  it('starts and stops the clocks of the claim as the carrier gets, acknowledges and answers the demand', async () => {
    const claim = await decidedBentFrame(desk);
    const { id } = await recoveryOn(desk, claim, 'carrier');
    const happened = async (): Promise<string[]> =>
      (await desk.data().rows<{ what: string }>('select what from claim_happening')).map(({ what }) => what);
    await actsOn(desk, id, ['sending', { words: 'By e-mail.' }]);
    expect(await happened()).toEqual(['carrier claim received']);
    const clocks = await desk.client.get(desk.home.analyst, `/v1/claims/${claim}/clocks`);
    // 49 CFR 370.5(a): thirty days to acknowledge, from the receipt of a proper claim.
    expect(JSON.stringify(clocks.json())).toMatch(/"CLK-US-ACKNOWLEDGE[^}]*"state":"running"/);
    await actsOn(
      desk,
      id,
      ['acknowledgment', { reference: 'PF-77120' }],
      ['decline', { words: 'Packed badly, they say.' }],
    );
    expect((await happened()).toSorted()).toEqual([
      'carrier acknowledged',
      'carrier claim received',
      'carrier disallowed',
      'carrier disposed',
    ]);
    await desk.kinds(claim);
  });

  it('credits salvage, is written off with a reason, and takes a late payment back out of the loss', async () => {
    const claim = await decidedBentFrame(desk);
    const { id } = await recoveryOn(desk, claim, 'carrier');
    await actsOn(desk, id, ['sending'], ['salvage', { ...usd(1_100), reference: 'SALE-7' }]);
    const declined = await actsOn(desk, id, ['decline', { words: 'Packed badly, they say.' }]);
    expect(declined).toMatchObject({ state: 'declined', salvageMinor: 1_100, outstandingMinor: 28_000 });
    const written = await actsOn(desk, id, ['write-off', { reason: 'Not worth a suit.' }]);
    expect(written).toMatchObject({ state: 'written off', writtenOffMinor: 28_000, outstandingMinor: 0 });
    expect(await accountsOf(desk, claim)).toEqual({ bank: 1_100, loss: 28_000, supply: -BENT_FRAME });
    const late = await actsOn(desk, id, ['payments', { ...usd(8_000), reference: 'PAY-LATE' }]);
    expect(late).toMatchObject({
      state: 'written off',
      paidMinor: 8_000,
      writtenOffMinor: 20_000,
      outstandingMinor: 0,
    });
    expect(await accountsOf(desk, claim)).toEqual({ bank: 9_100, loss: 20_000, supply: -BENT_FRAME });
    await ledgerBalances();
  });

  it('is capped by what was agreed in writing, and what that cuts off falls on the seller', async () => {
    const claim = await decidedBentFrame(desk);
    const { id } = await recoveryOn(desk, claim, 'carrier');
    // 0.50 a pound on 100 lb (45,359 g) is 50.00 (49 U.S.C. 14706(c)(1)(A)).
    const transport = {
      regime: 'domestic road',
      agreedPerPoundMinor: 50,
      grossGrams: 45_359,
      writtenAgreement: true,
      higherValueOffered: true,
    };
    const capped = await actsOn(desk, id, ['particulars', { transport }]);
    expect(capped).toMatchObject({
      demandedMinor: 5_000,
      cutMinor: BENT_FRAME - 5_000,
      cap: { basis: 'declared', limitMinor: 5_000 },
      needs: [],
    });
    expect(await recoveryOn(desk, claim, 'seller')).toMatchObject({ state: 'open', demandedMinor: BENT_FRAME - 5_000 });
    const lifted = await actsOn(desk, id, ['particulars', { transport: { ...transport, writtenAgreement: false } }]);
    expect(lifted).toMatchObject({ demandedMinor: BENT_FRAME, cap: { basis: 'none' } });
    const wrong = await actOn(desk, id, 'particulars', { transport: { regime: 'rail' } });
    expect(refusal(wrong)).toEqual([400, 'invalid-request']);
    expect(pointersOf(wrong)).toEqual(['#/transport/regime']);
  });

  it('is not sent while it is no complete claim, unless somebody says why', async () => {
    const claim = await decidedBentFrame(desk);
    const { id } = await recoveryOn(desk, claim, 'carrier');
    await actsOn(desk, id, ['particulars', { amountIsEstimate: true }]);
    const refused = await actOn(desk, id, 'sending');
    expect(refusal(refused)).toEqual([422, 'recovery-incomplete']);
    expect(pointersOf(refused)).toEqual(['#/amount']);
    expect(refused.body).toContain('49 CFR 370.3(d)');
    // 49 U.S.C. 14706(e)(1): nine months at the least; long after them the claim is late.
    await actsOn(desk, id, ['particulars', { amountIsEstimate: false }]);
    desk.test.clock.moveTo(Temporal.Instant.from('2027-03-02T09:00:00Z'));
    try {
      const [row] = await desk.data().rows<{ version: number }>('select version from recovery where id = $1', [id]);
      await desk
        .data()
        .rows(`update session set last_seen_at = '2027-03-02T08:59:00Z', expires_at = '2027-03-02T20:00:00Z'`);
      const seen = { 'if-match': `"v${row?.version}"` };
      const late = await desk.client.post(desk.home.analyst, `/v1/recoveries/${id}/sending`, {}, seen);
      expect(pointersOf(late)).toEqual(['#/in time']);
      const despite = { despite: 'The carrier agreed to a longer time.' };
      expect(await actsOn(desk, id, ['sending', despite])).toMatchObject({ state: 'sent' });
    } finally {
      desk.test.clock.moveTo(Temporal.Instant.from('2026-03-02T09:00:00Z'));
    }
  });

  it('refuses acts out of order, amounts that are too much, and other currencies', async () => {
    const claim = await decidedBentFrame(desk);
    const { id } = await recoveryOn(desk, claim, 'carrier');
    const pay = (amountMinor: number, currency = 'USD'): Promise<Answered> =>
      actOn(desk, id, 'payments', { amountMinor, currency, reference: 'PAY' });
    expect(refusal(await pay(1))).toEqual([409, 'recovery-state-forbids']);
    expect(refusal(await actOn(desk, id, 'write-off', { reason: 'Nothing to gain here.' }))).toEqual([
      409,
      'recovery-state-forbids',
    ]);
    await actsOn(desk, id, ['sending']);
    expect(refusal(await actOn(desk, id, 'sending'))).toEqual([409, 'recovery-state-forbids']);
    expect(refusal(await pay(BENT_FRAME + 1))).toEqual([422, 'amount-exceeds']);
    expect(refusal(await pay(0))).toEqual([422, 'amount-exceeds']);
    expect(refusal(await pay(1, 'EUR'))).toEqual([422, 'amount-currency-differs']);
    expect(refusal(await actOn(desk, id, 'offers', usd(BENT_FRAME + 1)))).toEqual([422, 'amount-exceeds']);
    const early = await actOn(desk, id, 'acknowledgment', { reference: 'X', at: '2026-03-03T00:00:00Z' });
    expect(refusal(early)).toEqual([400, 'invalid-request']);
    const regime = { transport: { regime: 'none' } };
    expect(refusal(await actOn(desk, id, 'particulars', regime))).toEqual([409, 'recovery-state-forbids']);
    expect(await accountsOf(desk, claim)).toEqual({ 'party:carrier': BENT_FRAME, supply: -BENT_FRAME });
  });

  it('is paid once when ten people book the same payment at once', async () => {
    const claim = await decidedBentFrame(desk);
    const { id } = await recoveryOn(desk, claim, 'carrier');
    const { version } = await actsOn(desk, id, ['sending']);
    const body = { ...usd(BENT_FRAME), reference: 'PAY-1' };
    const seen = { 'if-match': `"v${version}"` };
    const answers = await Promise.all(
      Array.from({ length: 10 }, () =>
        desk.client.post(desk.home.analyst, `/v1/recoveries/${id}/payments`, body, seen),
      ),
    );
    expect(statusesOf(answers)).toEqual([201, ...Array.from({ length: 9 }, () => 412)]);
    expect(await accountsOf(desk, claim)).toEqual({ bank: BENT_FRAME, supply: -BENT_FRAME });
  });

  it('needs If-Match and an Idempotency-Key, and a repeated key answers with the first result', async () => {
    const claim = await decidedBentFrame(desk);
    const { id, version } = await recoveryOn(desk, claim, 'carrier');
    const url = `/v1/recoveries/${id}/sending`;
    const send = (headers: Record<string, string>): Promise<Answered> =>
      desk.client.send(desk.home.analyst, { method: 'POST', url, payload: {}, headers });
    expect(refusal(await send({ 'idempotency-key': '"k1"' }))).toEqual([428, 'precondition-required']);
    expect(refusal(await send({ 'if-match': `"v${version}"` }))).toEqual([400, 'idempotency-key-missing']);
    const both = { 'if-match': `"v${version}"`, 'idempotency-key': '"k2"' };
    const [first, again] = [await send(both), await send(both)];
    expect([first.statusCode, again.statusCode]).toEqual([201, 201]);
    expect(again.json<RecoveryView>()).toEqual(first.json<RecoveryView>());
  });
});

describe('a recovery after another decision', () => {
  it('is withdrawn when the claim is declined before the demand was sent', async () => {
    const claim = await decidedBentFrame(desk);
    await desk.acts(claim, [desk.home.analyst, 'appeals', { words: 'Another look is needed.' }]);
    await desk.assess();
    await desk.acts(claim, [desk.home.analyst, 'decisions', { outcome: 'declined', ...WHY }]);
    await desk.assess();
    expect(await recoveryOn(desk, claim, 'carrier')).toMatchObject({ state: 'withdrawn', demandedMinor: 0 });
    // The first decision's postings were reversed.
    expect(await accountsOf(desk, claim)).toEqual({});
    await ledgerBalances();
  });

  it('is sent again for the difference when more or less is decided after it was sent', async () => {
    const claim = await decidedBentFrame(desk);
    const { id } = await recoveryOn(desk, claim, 'carrier');
    await actsOn(desk, id, ['sending'], ['payments', { ...usd(10_000), reference: 'PAY-1' }]);
    await desk.acts(claim, [desk.home.analyst, 'appeals', { words: 'Another look is needed.' }]);
    const busy = await desk.client.get(desk.home.analyst, `/v1/recoveries/${id}`);
    expect(refusal(busy)).toEqual([409, 'recovery-state-forbids']);
    await desk.assess();
    const allowance = { outcome: 'approved', remedies: ['allowance'], totalMinor: 20_000, currency: 'USD', ...WHY };
    await desk.acts(claim, [desk.home.analyst, 'decisions', allowance]);
    await desk.assess();
    expect(await recoveryOn(desk, claim, 'carrier')).toMatchObject({ state: 'open', demandedMinor: 20_000 });
    const again = await actsOn(desk, id, ['sending']);
    expect(again).toMatchObject({ state: 'sent', outstandingMinor: 10_000 });
    expect(await accountsOf(desk, claim)).toEqual({ bank: 10_000, customer: -20_000, 'party:carrier': 10_000 });
    await desk.acts(
      claim,
      [desk.home.analyst, 'settlement-order', {}],
      [desk.home.analyst, 'settlement', { ...usd(20_000), reference: 'PAY-2' }],
    );
    expect(await accountsOf(desk, claim)).toEqual({ bank: -10_000, 'party:carrier': 10_000 });
    await ledgerBalances();
  });
});

describe('recoveries', () => {
  it('are for analysts to act on and for nobody outside the desk to see', async () => {
    const claim = await decidedBentFrame(desk);
    const { id } = await recoveryOn(desk, claim, 'carrier');
    const { administrator, retailerPerson } = desk.home;
    const seen = async (who: typeof administrator, url: string): Promise<number> =>
      (await desk.client.get(who, url)).statusCode;
    for (const url of [
      `/v1/recoveries/${id}`,
      '/v1/recoveries',
      `/v1/claims/${claim}/recoveries`,
      '/v1/recoveries/statements/carrier',
      `/v1/recoveries/${id}/packet.json`,
    ]) {
      expect([url, await seen(administrator, url)]).toEqual([url, 200]);
      expect([url, await seen(retailerPerson, url)]).toEqual([url, 403]);
      expect([url, await seen(desk.crew, url)]).toEqual([url, 403]);
    }
    expect(refusal(await actOn(desk, id, 'sending', {}, administrator))).toEqual([403, 'not-allowed']);
    const stranger = await house(desk.data());
    for (const url of [`/v1/recoveries/${id}`, `/v1/claims/${claim}/recoveries`, `/v1/recoveries/${id}/packet.pdf`]) {
      expect([url, await seen(stranger.analyst, url)]).toEqual([url, 404]);
    }
    expect(refusal(await actOn(desk, id, 'sending', {}, stranger.analyst))).toEqual([404, 'not-found']);
    const list = (await desk.client.get(stranger.analyst, '/v1/recoveries')).json<{ items: unknown[] }>();
    expect(list.items).toEqual([]);
  });

  it('are listed a page at a time, by state and by party', async () => {
    for (let n = 0; n < 3; n += 1) await decidedBentFrame(desk);
    const page = async (query: string): Promise<{ items: RecoveryView[]; next?: string }> =>
      (await desk.client.get(desk.home.analyst, `/v1/recoveries?${query}`)).json();
    const first = await page('limit=2');
    const second = await page(`limit=2&cursor=${first.next}`);
    expect([first.items.length, second.items.length, second.next]).toEqual([2, 1, undefined]);
    const ids = [...first.items, ...second.items].map(({ id }) => id);
    expect(new Set(ids).size).toBe(3);
    await actsOn(desk, ids[0] ?? '', ['sending']);
    expect((await page('state=sent')).items.map(({ id }) => id)).toEqual([ids[0]]);
    expect((await page('party=maker')).items).toEqual([]);
    expect((await page('party=carrier')).items).toHaveLength(3);
  });

  it('stand on a statement by age, as data and as comma-separated values', async () => {
    const claim = await decidedBentFrame(desk);
    const { id } = await recoveryOn(desk, claim, 'carrier');
    await actsOn(desk, id, ['sending'], ['payments', { ...usd(9_100), reference: 'PAY-1' }]);
    await desk.data().rows(`update recovery set sent_at = '2026-01-20T09:00:00Z' where id = $1`, [id]);
    const statement = (await desk.client.get(desk.home.analyst, '/v1/recoveries/statements/carrier')).json<{
      lines: { days: number; band: string; outstandingMinor: number }[];
      ageing: object[];
    }>();
    expect(statement.lines).toMatchObject([{ days: 41, band: '31 to 60', outstandingMinor: 20_000 }]);
    const bands = { '0 to 30': 0, '31 to 60': 20_000, '61 to 90': 0, 'over 90': 0 };
    expect(statement.ageing).toEqual([{ currency: 'USD', bands, totalMinor: 20_000 }]);
    const csv = await desk.client.get(desk.home.analyst, '/v1/recoveries/statements/carrier.csv');
    expect(csv.headers['content-type']).toContain('text/csv');
    const lines = csv.body.split('\r\n');
    expect(lines[0]).toBe('reference,name,state,sent,days,age,currency,demanded,paid,salvage,written off,outstanding');
    expect(lines[1]).toMatch(
      /^\d{9} carrier,Company ZZPF,paid in part,2026-01-20T09:00:00.000Z,41,31 to 60,USD,291.00,91.00,0.00,0.00,200.00$/,
    );
    const none = await desk.client.get(desk.home.analyst, '/v1/recoveries/statements/carrier?name=Nobody');
    expect(none.json<{ lines: unknown[] }>().lines).toEqual([]);
    expect((await desk.client.get(desk.home.analyst, '/v1/recoveries/statements/customer')).statusCode).toBe(404);
  });
});

describe('the packet', () => {
  it('is one PDF and one JSON of the same content, the same bytes until something happens', async () => {
    const claim = await decidedBentFrame(desk);
    const { id } = await recoveryOn(desk, claim, 'carrier');
    const papers = [{ paper: 'bill of lading', reference: 'BOL 771203' }];
    await actsOn(desk, id, ['particulars', { papers, shipmentReference: 'PRO 5512' }]);
    const get = (kind: string): Promise<Answered> =>
      desk.client.get(desk.home.analyst, `/v1/recoveries/${id}/packet.${kind}`);
    const [pdf, again, json] = [await get('pdf'), await get('pdf'), await get('json')];
    expect([pdf.statusCode, json.statusCode]).toEqual([200, 200]);
    expect(pdf.headers['content-type']).toBe('application/pdf');
    expect(pdf.rawPayload.subarray(0, 5).toString('latin1')).toBe('%PDF-');
    expect(pdf.rawPayload.equals(again.rawPayload)).toBe(true);
    const content = json.json<{
      assertion: string[];
      amount: { total: string };
      photos: { sha256: string }[];
      completeness: { standing: string };
      shipment: { label: string; value: string }[];
    }>();
    expect(content.amount.total).toBe('291.00 USD');
    expect(content.completeness.standing).toBe('complete claim');
    expect(content.assertion.join(' ')).toContain('holds Company ZZPF liable as carrier');
    expect(content.shipment).toContainEqual({ label: 'Shipment', value: 'PRO 5512' });
    const kept = await desk.data().rows<{ sha256: string }>('select sha256 from exhibit');
    expect(content.photos.map(({ sha256 }) => sha256).sort()).toEqual(kept.map(({ sha256 }) => sha256).sort());
    await actsOn(desk, id, ['sending']);
    expect((await get('pdf')).rawPayload.equals(pdf.rawPayload)).toBe(false);
  });
});
