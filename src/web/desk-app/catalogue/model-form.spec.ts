import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Model } from '../../../catalogue/catalogue.contract.js';
import { NEW_MODEL, NEW_PART, readTyped, typedModel, type TypedModel } from './model-form.js';

const { models } = JSON.parse(
  readFileSync(new URL('../../../../sample-claims/catalogue.json', import.meta.url), 'utf8'),
) as { models: readonly [Model, ...Model[]] };
const [sample] = models;
const typed = typedModel(sample);
const faultsOf = (form: TypedModel) =>
  Object.fromEntries(readTyped(form).faults.map(({ pointer, detail }) => [pointer, detail]));

describe('the form of a model', () => {
  it('gives back every model of the sample catalogue as it was', () => {
    for (const model of models) expect(readTyped(typedModel(model))).toEqual({ model, faults: [] });
  });

  it('shows minor units as money, by the digits that ISO 4217 gives the currency', () => {
    // ISO 4217: two digits for the US dollar, none for the yen, three for the Kuwaiti dinar.
    const show = (currency: string): string => typedModel({ ...sample, currency, unitCostMinor: 61_200 }).unitCostMinor;
    expect([show('USD'), show('JPY'), show('KWD')]).toEqual(['612.00', '61200', '61.200']);
  });

  it('reads amounts, masses and shares exactly, with a point or a comma', () => {
    const form = { ...typed, unitCostMinor: '1,612.05 USD', grossGrams: '74,505', salvageBp: '12.25' };
    expect(readTyped(form).model).toMatchObject({ unitCostMinor: 161_205, grossGrams: 74_505, salvageBp: 1225 });
    // 0.1 + 0.2 would show here if the digits went through a fraction.
    expect(readTyped({ ...typed, netGrams: '1.001', grossGrams: '4.35' }).model).toMatchObject({
      netGrams: 1001,
      grossGrams: 4350,
    });
  });

  it('tells of each field what is wrong with it, and never rounds', () => {
    const part = { ...NEW_PART, number: 'X', title: 'X', priceMinor: '1.005', massGrams: 'heavy', pieces: '1.5' };
    const wrong = faultsOf({ ...typed, maker: ' ', visitCostMinor: 'ten', salvageBp: '101', parts: [part] });
    expect(wrong).toEqual({
      '#/maker': 'Write something here.',
      '#/visitCostMinor': 'This is not an amount in USD. Write it like 120.00.',
      '#/salvageBp': 'Write percent from 0 to 100 with at most two digits behind the point, such as 2.5.',
      '#/parts/0/priceMinor': 'This is not an amount in USD. Write it like 120.00.',
      '#/parts/0/massGrams': 'Write kilograms with at most three digits behind the point, such as 62.5.',
      '#/parts/0/pieces': 'Write a whole number from 0 to 10000.',
    });
  });

  it('goes on to what the catalogue refuses once every field can be read', () => {
    expect(faultsOf({ ...typed, netGrams: '99' })).toHaveProperty(['#/netGrams']);
    const parts = [
      ...typed.parts,
      { ...NEW_PART, number: 'NEW', title: 'New', priceMinor: '1', massGrams: '1', parent: 'NEW' },
    ];
    expect(faultsOf({ ...typed, parts })).toEqual({
      [`#/parts/${typed.parts.length}/parent`]: 'Part NEW would belong to itself.',
    });
    expect(faultsOf({ ...typed, serialPattern: 'DR7' })).toHaveProperty(['#/serialPattern']);
  });

  it('begins with nothing but fields to fill in', () => {
    expect(Object.keys(faultsOf(NEW_MODEL))).toEqual([
      '#/sku',
      '#/title',
      '#/maker',
      '#/grossGrams',
      '#/netGrams',
      '#/unitCostMinor',
      '#/unitFreightMinor',
      '#/visitCostMinor',
      '#/checklist',
      '#/evidenceModel',
    ]);
  });
});
