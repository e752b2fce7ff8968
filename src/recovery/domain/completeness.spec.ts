import { describe, expect, it } from 'vitest';
import { completenessOf, DAMAGE_PAPERS, standingOf, type DemandToCheck } from './completeness.js';

/** A demand on a carrier that has everything. */
function demand(changes: Partial<DemandToCheck> = {}): DemandToCheck {
  return {
    party: 'carrier',
    regime: 'domestic road',
    inWriting: true,
    time: 'in time',
    identifiesShipment: true,
    assertsLiability: true,
    amount: 'specified',
    papers: ['bill of lading', 'freight bill', 'invoice'],
    neverArrived: false,
    notice: { daysAfter: 0, by: 'consignee' },
    ...changes,
  };
}

const unmet = (changes: Partial<DemandToCheck>): string[] =>
  completenessOf(demand(changes))
    .elements.filter(({ state }) => state !== 'met')
    .map(({ id }) => id);

describe('what a claim on a carrier must contain (49 CFR 370.3(b))', () => {
  it('is all there in a complete claim', () => {
    const { standing, elements, papers } = completenessOf(demand());
    expect(standing).toBe('complete claim');
    expect([...elements, ...papers].filter(({ state }) => state !== 'met')).toEqual([]);
  });

  it.each<[string, Partial<DemandToCheck>, string]>([
    ['not in writing', { inWriting: false }, 'in writing'],
    ['nothing that identifies the shipment', { identifiesShipment: false }, 'shipment'],
    ['no assertion of liability', { assertsLiability: false }, 'liability'],
    ['no amount', { amount: 'none' }, 'amount'],
    ['out of time', { time: 'late' }, 'in time'],
  ])('makes it no claim where there is %s', (_says, changes, missing) => {
    expect(standingOf(demand(changes))).toBe('not a claim');
    expect(unmet(changes)).toEqual([missing]);
    const element = completenessOf(demand(changes)).elements.find(({ id }) => id === missing);
    expect(element?.mends).not.toBe('');
    expect(element?.source).toContain('49 CFR 370.3(b)');
  });

  it('may be an amount that follows from an invoice value and a quantity', () => {
    expect(standingOf(demand({ amount: 'determinable' }))).toBe('complete claim');
  });

  it('may run without a time limit', () => {
    expect(standingOf(demand({ time: 'no limit' }))).toBe('complete claim');
  });
});

describe('papers that only report damage (49 CFR 370.3(c))', () => {
  it.each(DAMAGE_PAPERS)('such as %s are a notice of damage and no claim', (paper) => {
    expect(standingOf(demand({ onlyPapers: [paper] }))).toBe('notice of damage');
  });

  it('stay a notice together: an annotated receipt and the inspection report of the carrier', () => {
    const onlyPapers = ['note on a delivery receipt', 'inspection report of the carrier'] as const;
    expect(standingOf(demand({ onlyPapers }))).toBe('notice of damage');
  });
});

describe('an uncertain amount (49 CFR 370.3(d))', () => {
  it('such as "about 500" asks for a definite figure', () => {
    const { standing, elements } = completenessOf(demand({ amount: 'estimate' }));
    expect(standing).toBe('amount required');
    expect(elements.find(({ id }) => id === 'amount')).toMatchObject({
      state: 'missing',
      source: '49 CFR 370.3(d)',
      mends: expect.stringContaining('definite figure') as unknown,
    });
  });
});

describe('papers that support a claim (49 CFR 370.7)', () => {
  const missing = (changes: Partial<DemandToCheck>): string[] =>
    completenessOf(demand(changes))
      .papers.filter(({ state }) => state === 'missing')
      .map(({ id }) => id);

  it('are three for damage, and a statement of the consignee where nothing arrived', () => {
    expect(missing({})).toEqual([]);
    expect(missing({ neverArrived: true })).toEqual(['statement of non-delivery']);
    expect(missing({ papers: [] })).toEqual(['bill of lading', 'freight bill', 'invoice']);
  });

  it('decide nothing: a claim without its bill of lading is still a claim (49 U.S.C. 14706(a)(1))', () => {
    expect(completenessOf(demand({ papers: ['freight bill', 'invoice'] })).standing).toBe('complete claim');
  });

  it('are not asked of other parties', () => {
    expect(completenessOf(demand({ party: 'maker', papers: [] })).papers).toEqual([]);
  });
});

describe("the conventions' notices", () => {
  const notice = (changes: Partial<DemandToCheck>): string | undefined =>
    completenessOf(demand(changes)).elements.find(({ id }) => id === 'notice')?.state;

  it('are due in 14 days by air from the consignee (Montreal Convention art. 31(2))', () => {
    expect(notice({ regime: 'air', notice: { daysAfter: 14, by: 'consignee' } })).toBe('met');
    expect(notice({ regime: 'air', notice: { daysAfter: 15, by: 'consignee' } })).toBe('late');
    expect(unmet({ regime: 'air', notice: { daysAfter: 3, by: 'sender' } })).toEqual(['complainant']);
    expect(unmet({ regime: 'air', notice: null })).toEqual(['notice', 'complainant']);
  });

  it('are due in 3 days by sea (Hague-Visby Rules art. III r. 6)', () => {
    expect(notice({ regime: 'sea', notice: { daysAfter: 3, by: undefined } })).toBe('met');
    expect(notice({ regime: 'sea', notice: { daysAfter: 4, by: undefined } })).toBe('late');
  });

  it('are due in 7 days by road between countries, Sundays left out, and being late ends nothing (CMR art. 30(1))', () => {
    expect(notice({ regime: 'international road', notice: { daysAfter: 8, by: undefined } })).toBe('met');
    const late = demand({ regime: 'international road', notice: { daysAfter: 10, by: undefined } });
    expect(completenessOf(late).elements.find(({ id }) => id === 'notice')).toMatchObject({ state: 'late' });
    expect(completenessOf(late).standing).toBe('complete claim');
  });

  it('are not asked for inside one country, nor of other parties, nor while the carriage is unknown', () => {
    expect([notice({ notice: null }), notice({ regime: undefined }), notice({ party: 'crew', regime: 'air' })]).toEqual(
      [undefined, undefined, undefined],
    );
  });
});
