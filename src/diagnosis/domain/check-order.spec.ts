import { describe, expect, it } from 'vitest';
import { modelOf, OPENER } from '../../../tests/support/evidence-models.js';
import type { EvidenceModel, FindingBar } from '../diagnosis.contract.js';
import type { Checklist } from '../../inspections/inspections.contract.js';
import { compareOrders } from './check-order.js';

const BAR: FindingBar = { probability: 0.85, marginDecibans: 0, surprise: 0, worthBits: 0.01 };

/** One strong sign behind three weak ones; `item-strong` is asked only after `item-gate`. Opens on the opener alone. */
const MODEL: EvidenceModel = (() => {
  const plain = modelOf({
    priors: { x: 1, y: 1 },
    likelihoods: { faint: [0.55, 0.45], weak: [0.6, 0.4], gate: [0.51, 0.49], strong: [0.95, 0.05], idle: [0.5, 0.5] },
    effortSeconds: { faint: 30, weak: 40, gate: 5, strong: 20 },
  });
  return { ...plain, subjects: plain.subjects.map((one) => ({ ...one, opensOn: [OPENER] })) };
})();

function listed(...ids: readonly string[]): Checklist {
  return {
    format: 'checklist/1',
    id: 'small',
    version: 1,
    family: 'lift chair',
    title: { en: 'Small list' },
    cautions: [],
    stops: [],
    sections: [
      {
        id: 'all',
        title: { en: 'All' },
        items: ids.map((id) => ({
          id: `item-${id}`,
          ask: { en: `${id}?` },
          answer: { type: 'yes-no' },
          ...(id === 'strong' ? { askIf: [{ item: 'item-gate', test: { is: ['yes'] } }] } : {}),
        })),
      },
    ],
  };
}

const LIST = listed(OPENER, 'faint', 'weak', 'gate', 'strong', 'idle');
const ALL_X = { present: [OPENER, 'faint', 'weak', 'gate', 'strong'], absent: ['idle'] };

describe('the chosen order beside the order of the checklist', () => {
  it('goes straight for what tells the explanations apart, with what must be asked before it', () => {
    const found = compareOrders(MODEL, LIST, ALL_X, BAR);
    expect(found).toEqual({
      start: [`item-${OPENER}`],
      // By hand: 0.51·0.95 to 0.49·0.05 is 95.2 %; in the list's order the same bar is reached only with the last of the four.
      chosen: { items: ['item-gate', 'item-strong'], checks: 2, seconds: 25, settled: true, leading: { thing: 'x' } },
      listed: {
        items: ['item-faint', 'item-weak', 'item-gate', 'item-strong'],
        checks: 4,
        seconds: 95,
        settled: true,
        leading: { thing: 'x' },
      },
      leadingOnAll: { thing: 'x' },
    });
  });

  it('can be no better than the list where the list asks the best first', () => {
    const found = compareOrders(MODEL, listed(OPENER, 'gate', 'strong', 'weak', 'faint', 'idle'), ALL_X, BAR);
    expect(found?.chosen).toEqual(found?.listed);
  });

  it('stops unsettled where nothing is left that is worth the time, or nothing at all', () => {
    const strict = { ...BAR, probability: 0.999, worthBits: 0.005 };
    const found = compareOrders(MODEL, LIST, ALL_X, strict);
    expect([found?.chosen.settled, found?.listed.settled]).toEqual([false, false]);
    expect(found?.listed.items).toContain('item-idle');
    expect(found?.chosen.items).not.toContain('item-idle');
  });

  it('cannot make a check that the inspection does not hold', () => {
    const known = { present: [OPENER, 'faint', 'weak'], absent: [] };
    const found = compareOrders(MODEL, LIST, known, { ...BAR, worthBits: 0.005 });
    expect(found?.chosen.items.toSorted()).toEqual(['item-faint', 'item-weak']);
    expect(found?.chosen.settled).toBe(false);
  });

  it('needs no check where the start settles it, and says nothing where nothing is damaged', () => {
    const easy = { ...BAR, probability: 0.5 };
    expect(compareOrders(MODEL, LIST, ALL_X, easy)?.chosen).toMatchObject({ checks: 0, seconds: 0, settled: true });
    expect(compareOrders(MODEL, LIST, { present: ['strong'], absent: [] }, BAR)).toBeUndefined();
  });
});
