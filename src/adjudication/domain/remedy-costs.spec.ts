import { describe, expect, it } from 'vitest';
import { WORKED_MODEL } from '../../../tests/support/worked-claim.js';
import type { Model, Part } from '../../catalogue/catalogue.contract.js';
import { chooseRemedy, claimWideRemedy, costByFinding } from './remedy-choice.js';
import { costLines, customerFitsAll, expectedCost, missingParts, partsFor } from './remedy-costs.js';

const [motor, leg] = WORKED_MODEL.parts as [Part, Part];
const inputs = { model: WORKED_MODEL, parts: [{ part: motor, pieces: 1 }], rounding: 'half even' } as const;

/** A tree: the pack holds box and handset; nothing but the pack is a spare. */
const tree: Model = {
  ...WORKED_MODEL,
  parts: [
    leg,
    { ...motor, number: 'E-1', component: 'electronics' },
    { ...motor, number: 'E-2', component: 'electronics', parent: 'E-1', isSpare: false },
    { ...motor, number: 'E-3', component: 'electronics', parent: 'E-2', isSpare: false },
  ],
};

const numbers = (parts: readonly { readonly part: Part; readonly pieces: number }[]): [string, number][] =>
  parts.map(({ part, pieces }) => [part.number, pieces]);

describe('parts to supply', () => {
  it('are one piece of the spare of the component', () => {
    expect(numbers(partsFor(WORKED_MODEL, 'leg', []))).toEqual([['L-1', 1]]);
    expect(partsFor(WORKED_MODEL, 'frame', [])).toEqual([]);
    expect(partsFor(WORKED_MODEL, null, [])).toEqual([]);
  });

  it('are the pieces counted short, whatever the component', () => {
    const missing = missingParts(tree, { 'L-1': 1, 'E-3': 0 });
    expect(numbers(missing)).toEqual([
      ['L-1', 3],
      ['E-3', 1],
    ]);
    expect(numbers(partsFor(tree, 'leg', missing))).toEqual(numbers(missing));
  });

  it('do not hold what a missing assembly brings along', () => {
    expect(numbers(missingParts(tree, { 'E-1': 0, 'E-2': 0, 'E-3': 0 }))).toEqual([['E-1', 1]]);
    expect(numbers(missingParts(tree, { 'E-2': 0, 'E-3': 0 }))).toEqual([['E-2', 1]]);
  });

  it('count nothing as missing that was not counted, or of which there were too many', () => {
    expect(missingParts(tree, {})).toEqual([]);
    expect(missingParts(tree, { 'L-1': 9 })).toEqual([]);
  });

  it('are fitted by the customer only when every one is', () => {
    expect(customerFitsAll([])).toBe(false);
    expect(
      customerFitsAll([
        { part: motor, pieces: 1 },
        { part: { ...leg, customerFits: false }, pieces: 1 },
      ]),
    ).toBe(false);
    expect(customerFitsAll([{ part: motor, pieces: 1 }])).toBe(true);
  });
});

describe('expected cost', () => {
  it('charges a visit where the customer does not fit the part', () => {
    const parts = [{ part: { ...motor, customerFits: false }, pieces: 1 }];
    // 80.00 + 7.00 + 90.00 + 5 % of 460.00.
    expect(expectedCost('part', { ...inputs, parts, customerMinor: 0 }).amountMinor).toBe(20_000);
  });

  it('shows its sum in figures', () => {
    expect(expectedCost('refund', { ...inputs, customerMinor: 62_500 }).working).toBe(
      'expected cost 625.00 to the customer + 60.00 return freight − 100.00 salvage = 585.00',
    );
    expect(expectedCost('none', { ...inputs, customerMinor: 0 }).working).toBe('expected cost 0');
  });
});

describe('cost lines', () => {
  const refund = (customerMinor: number) => {
    const customer = { id: 'customer', says: '', amountMinor: customerMinor, working: '', about: 'claim' };
    const lines = costLines(
      'refund',
      { ...inputs, model: { ...WORKED_MODEL, salvageBp: 3_500, unitFreightMinor: 0 } },
      customer,
      'claim',
    );
    return lines.map(({ amountMinor }) => amountMinor).reduce((a, b) => a + b, 0);
  };

  it('credit salvage, never below nothing: 900.00 less 140.00 is 760.00, and a smaller loss is 0', () => {
    // 49 CFR 370.11 has the carrier account for the proceeds of salvage; net claim = loss − proceeds. Salvage is 35 % of 400.00.
    expect(refund(90_000)).toBe(76_000);
    expect(refund(13_000)).toBe(0);
  });

  it('give a unit its cost and freight less salvage, and a visit its cost', () => {
    const of = (remedy: 'unit' | 'visit' | 'none') =>
      costLines(remedy, inputs, undefined, 'drive').map(({ id, amountMinor }) => [id, amountMinor]);
    expect(of('unit')).toEqual([
      ['unit', 40_000],
      ['unit freight', 6_000],
      ['salvage', -10_000],
    ]);
    expect(of('visit')).toEqual([['visit', 9_000]]);
    expect(of('none')).toEqual([]);
  });

  it('price pieces and charge the freight of a part once', () => {
    const parts = [{ part: leg, pieces: 3 }];
    expect(costLines('part', { ...inputs, parts }, undefined, 'contents').map(({ working }) => working)).toEqual([
      '12.00 × 3 = 36.00',
      '3.00 as the catalogue has it for the part',
    ]);
  });
});

describe('the choice', () => {
  const option = (remedy: 'refund' | 'part' | 'visit', rank: number, expectedCostMinor: number, admissible = true) => ({
    remedy,
    rank,
    expectedCostMinor,
    admissible,
  });

  it('is the admissible option of lowest rank, then cheapest, then first in the order of remedies', () => {
    expect(chooseRemedy([option('visit', 1, 900), option('part', 2, 1)])?.remedy).toBe('visit');
    expect(chooseRemedy([option('visit', 1, 900), option('part', 1, 899)])?.remedy).toBe('part');
    expect(chooseRemedy([option('visit', 1, 5), option('refund', 1, 5)])?.remedy).toBe('refund');
    expect(chooseRemedy([option('visit', 1, 0, false), option('part', 9, 9)])?.remedy).toBe('part');
    expect(chooseRemedy([option('visit', 1, 0, false)])).toBeUndefined();
  });

  it('covers the whole claim by a refund before a unit', () => {
    expect(claimWideRemedy(['part', 'unit', 'refund'])).toBe('refund');
    expect(claimWideRemedy(['part', 'unit'])).toBe('unit');
    expect(claimWideRemedy(['part', 'none'])).toBeUndefined();
  });

  it('splits its cost by what each finding would have cost on its own, equally when that is nothing', () => {
    expect(costByFinding(10_000, [3_000, 1_000])).toEqual([7_500, 2_500]);
    expect(costByFinding(10_001, [0, 0])).toEqual([5_001, 5_000]);
    expect(costByFinding(100, [-50, 10])).toEqual([0, 100]);
  });
});
