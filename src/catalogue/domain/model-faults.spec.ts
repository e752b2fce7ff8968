import { describe, expect, it } from 'vitest';
import type { Model, Part } from '../catalogue.contract.js';
import { modelFaults } from './model-faults.js';

const part = (number: string, more: Partial<Part> = {}): Part => ({
  number,
  title: `Part ${number}`,
  component: 'frame',
  pieces: 1,
  priceMinor: 100,
  freightMinor: 0,
  massGrams: 10,
  customerFits: false,
  failsAgainBp: 0,
  isSpare: false,
  ...more,
});

const model = (more: Partial<Model> = {}): Model => ({
  sku: 'TST-1',
  title: 'Test base',
  family: 'powered bed base',
  maker: 'Test maker',
  grossGrams: 200,
  netGrams: 100,
  serialPattern: '^T[0-9]{4}$',
  currency: 'USD',
  unitCostMinor: 1,
  unitFreightMinor: 1,
  visitCostMinor: 1,
  salvageBp: 0,
  checklist: 'bed-base',
  evidenceModel: 'bed-base',
  parts: [part('A'), part('B', { parent: 'A' })],
  warranty: [{ component: 'frame', fullMonths: 12, proRataMonths: 0 }],
  ...more,
});

describe('a model', () => {
  it('is sound when its tree, currency, masses and pattern are', () => {
    expect(modelFaults(model())).toEqual([]);
  });

  it.each<[string, Partial<Model>, string]>([
    ['weighs more than its carton', { netGrams: 300 }, '#/netGrams'],
    ['has a currency without minor units (ISO 4217: gold)', { currency: 'XAU' }, '#/currency'],
    ['has a pattern that is not anchored', { serialPattern: 'T' }, '#/serialPattern'],
    ['has a part twice', { parts: [part('A'), part('A')] }, '#/parts/1/number'],
    ['has a part of a part that is not there', { parts: [part('A', { parent: 'Z' })] }, '#/parts/0/parent'],
    ['has a part of itself', { parts: [part('A', { parent: 'A' })] }, '#/parts/0/parent'],
    [
      'has two spares for one component',
      { parts: [part('A', { isSpare: true }), part('B', { isSpare: true })] },
      '#/parts/1/isSpare',
    ],
    [
      'promises for one component twice',
      {
        warranty: [
          { component: 'leg', fullMonths: 1, proRataMonths: 0 },
          { component: 'leg', fullMonths: 2, proRataMonths: 0 },
        ],
      },
      '#/warranty/1/component',
    ],
  ])('is unsound when it %s', (_name, more, pointer) => {
    expect(modelFaults(model(more)).map((fault) => fault.pointer)).toEqual([pointer]);
  });

  it('is unsound for every part of a cycle, and does not hang on a tail that leads into one', () => {
    const parts = [
      part('A', { parent: 'C' }),
      part('B', { parent: 'A' }),
      part('C', { parent: 'B' }),
      part('D', { parent: 'A' }),
    ];
    expect(modelFaults(model({ parts })).map((fault) => fault.pointer)).toEqual([
      '#/parts/0/parent',
      '#/parts/1/parent',
      '#/parts/2/parent',
    ]);
  });

  it('reports every fault at once', () => {
    expect(modelFaults(model({ netGrams: 300, currency: 'ABC', serialPattern: '(' }))).toHaveLength(3);
  });
});
