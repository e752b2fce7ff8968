import { describe, expect, it } from 'vitest';
import type { ClaimLife } from '../claims.contract.js';
import { type Proposal, checkSecondPerson, checkSettlement, decideClaim } from './decide-claim.js';

const life: ClaimLife = {
  id: 'c',
  state: 'proposed',
  version: 4,
  filedBy: 'crew-link',
  awaiting: null,
  standing: null,
};
const proposal: Proposal = {
  currency: 'USD',
  verdict: 'proposed',
  remedies: ['allowance'],
  customerTotalMinor: 13_498,
  costTotalMinor: 13_498,
  remedyCosts: { allowance: 13_498, unit: 62_000, part: 9_000 },
  secondPersonAboveMinor: 50_000,
  paidMinor: 89_990,
};
const why = { reason: 'evidence read otherwise', words: 'The dent is older than the delivery.' } as const;

describe('deciding a claim', () => {
  it('follows the proposal without a reason', () => {
    expect(decideClaim(life, proposal, { by: 'ana', outcome: 'approved' })).toMatchObject({
      ok: true,
      remedies: ['allowance'],
      totalMinor: 13_498,
      overrides: false,
      needsSecondPerson: false,
    });
  });

  it('never lets the person who filed the claim decide it', () => {
    expect(decideClaim({ ...life, filedBy: 'ana' }, proposal, { by: 'ana', outcome: 'approved' })).toMatchObject({
      refusal: 'own-claim',
    });
  });

  it('wants a reason and words for anything that departs from the proposal', () => {
    const lower = { by: 'ana', outcome: 'approved in part', totalMinor: 5_000 } as const;
    expect(decideClaim(life, proposal, lower)).toMatchObject({ refusal: 'reason-required' });
    expect(decideClaim(life, proposal, { ...lower, reason: why.reason, words: 'because' })).toMatchObject({
      refusal: 'reason-required',
    });
    expect(decideClaim(life, proposal, { ...lower, ...why })).toMatchObject({
      ok: true,
      totalMinor: 5_000,
      overrides: true,
    });
    expect(decideClaim(life, proposal, { by: 'ana', outcome: 'declined' })).toMatchObject({
      refusal: 'reason-required',
    });
    expect(decideClaim(life, proposal, { by: 'ana', outcome: 'approved', remedies: ['part'] })).toMatchObject({
      refusal: 'reason-required',
    });
  });

  it('wants a reason even for agreement where the service itself abstained', () => {
    expect(
      decideClaim(life, { ...proposal, verdict: 'to a person' }, { by: 'ana', outcome: 'approved' }),
    ).toMatchObject({
      refusal: 'reason-required',
    });
  });

  it('sends sums above the limit to a second person, and exactly at the limit not', () => {
    const pay = (totalMinor: number) =>
      decideClaim(life, proposal, { by: 'ana', outcome: 'approved', totalMinor, ...why });
    expect(pay(50_000)).toMatchObject({ ok: true, needsSecondPerson: false });
    expect(pay(50_001)).toMatchObject({ ok: true, needsSecondPerson: true });
  });

  it('counts what a chosen remedy costs, not only the money paid', () => {
    const wish = { by: 'ana', outcome: 'approved', remedies: ['unit'], totalMinor: 0, ...why } as const;
    expect(decideClaim(life, proposal, wish)).toMatchObject({ ok: true, needsSecondPerson: true });
    // A remedy that the assessment did not price counts as the whole price.
    expect(decideClaim(life, proposal, { ...wish, remedies: ['visit'] })).toMatchObject({
      ok: true,
      needsSecondPerson: true,
    });
  });

  it('declines for nothing, whatever amount was sent along', () => {
    expect(decideClaim(life, proposal, { by: 'ana', outcome: 'declined', totalMinor: 400, ...why })).toMatchObject({
      ok: true,
      totalMinor: 0,
      remedies: ['none'],
      needsSecondPerson: false,
    });
  });

  it('refuses another currency, more than was paid, and an approval of nothing', () => {
    const base = { by: 'ana', outcome: 'approved' } as const;
    expect(decideClaim(life, proposal, { ...base, currency: 'EUR' })).toMatchObject({
      refusal: 'amount-currency-differs',
    });
    expect(decideClaim(life, proposal, { ...base, totalMinor: 89_991, ...why })).toMatchObject({
      refusal: 'amount-exceeds',
    });
    expect(decideClaim(life, { ...proposal, remedies: ['none'], customerTotalMinor: 0 }, base)).toMatchObject({
      refusal: 'nothing-to-decide',
    });
    expect(decideClaim(life, proposal, { ...base, outcome: 'approved in part', ...why })).toMatchObject({
      refusal: 'nothing-to-decide',
    });
  });

  it('refuses decisions on withdrawn claims and on claims that already wait for a second person', () => {
    expect(decideClaim({ ...life, state: 'withdrawn' }, proposal, { by: 'ana', outcome: 'approved' })).toMatchObject({
      refusal: 'claim-withdrawn',
    });
    const waiting = { ...life, awaiting: { n: 1, decidedBy: 'ben' } };
    expect(decideClaim(waiting, proposal, { by: 'ana', outcome: 'approved' })).toMatchObject({
      refusal: 'claim-state-forbids',
    });
  });
});

describe('the second person', () => {
  const waiting: ClaimLife = { ...life, awaiting: { n: 2, decidedBy: 'ana' } };
  it('is somebody else than the one who decided and the one who filed', () => {
    expect(checkSecondPerson(waiting, 2, 'ana')).toMatchObject({ refusal: 'same-person' });
    expect(checkSecondPerson({ ...waiting, filedBy: 'ben' }, 2, 'ben')).toMatchObject({ refusal: 'own-claim' });
    expect(checkSecondPerson(waiting, 2, 'ben')).toBeUndefined();
  });
  it('acts on the decision that waits and on no other', () => {
    expect(checkSecondPerson(waiting, 1, 'ben')).toMatchObject({ refusal: 'claim-state-forbids' });
    expect(checkSecondPerson({ ...waiting, state: 'withdrawn' }, 2, 'ben')).toMatchObject({
      refusal: 'claim-withdrawn',
    });
  });
});

describe('a settlement', () => {
  const standing = { n: 1, outcome: 'approved', totalMinor: 13_498 } as const;
  it('pays what was decided, in the currency of the claim', () => {
    expect(checkSettlement(standing, 'USD', { amountMinor: 13_498, currency: 'USD' }, 0)).toBeUndefined();
    expect(checkSettlement(standing, 'USD', { amountMinor: 13_499, currency: 'USD' }, 0)).toMatchObject({
      refusal: 'amount-exceeds',
    });
    expect(checkSettlement(standing, 'USD', { amountMinor: 13_498, currency: 'EUR' }, 0)).toMatchObject({
      refusal: 'amount-currency-differs',
    });
    expect(checkSettlement(null, 'USD', { amountMinor: 0, currency: 'USD' }, 0)).toMatchObject({
      refusal: 'claim-state-forbids',
    });
  });

  it('after an appeal pays only what is still due', () => {
    const more = { n: 2, outcome: 'approved', totalMinor: 20_000 } as const;
    const usd = (amountMinor: number) => ({ amountMinor, currency: 'USD' });
    expect(checkSettlement(more, 'USD', usd(6_502), 13_498)).toBeUndefined();
    expect(checkSettlement(more, 'USD', usd(20_000), 13_498)).toMatchObject({ refusal: 'amount-exceeds' });
    const less = { ...more, totalMinor: 5_000 };
    expect(checkSettlement(less, 'USD', usd(0), 13_498)).toBeUndefined();
    expect(checkSettlement(less, 'USD', usd(5_000), 13_498)).toMatchObject({ refusal: 'amount-exceeds' });
  });
});
