import { describe, expect, it } from 'vitest';
import { compilePolicy, type FactType, type OutcomeValue } from '../../../../policies/policies.contract.js';
import { rule, smallDocument } from '../../../../../tests/support/small-policy.js';
import { outcomeOf, outcomeText, typeWords } from './written-values.js';

const ENUM: FactType = { type: 'enum', values: ['pay', 'decline'] };

describe('an outcome that is written in a cell', () => {
  it.each<[FactType, string, OutcomeValue | undefined]>([
    [ENUM, 'pay', 'pay'],
    [ENUM, ' "pay" ', 'pay'],
    [ENUM, 'null', null],
    [ENUM, '', undefined],
    [{ type: 'boolean' }, 'yes', true],
    [{ type: 'boolean' }, 'FALSE', false],
    [{ type: 'boolean' }, 'perhaps', 'perhaps'],
    [{ type: 'integer' }, '-12', -12],
    [{ type: 'integer' }, '1.5', '1.5'],
    [{ type: 'integer' }, 'twelve', 'twelve'],
    [{ type: 'decimal' }, '12.50', '12.50'],
    [{ type: 'date' }, '2026-03-01', '2026-03-01'],
    [{ ...ENUM, list: true }, 'pay, decline', ['pay', 'decline']],
    [{ ...ENUM, list: true }, 'pay', ['pay']],
  ])('of type %j: %j is %j', (type, text, value) => {
    expect(outcomeOf(type, text)).toEqual(value);
  });

  it.each<[OutcomeValue | undefined, string]>([
    [undefined, ''],
    [null, 'null'],
    [false, 'false'],
    [7, '7'],
    ['7.50', '7.50'],
    [['a', 'b'], 'a, b'],
  ])('%j is shown as %j', (value, text) => {
    expect(outcomeText(value)).toBe(text);
  });

  // The checker is the service's own; what does not fit has to reach it as it was typed.
  it('is told by the checker with its name where it does not fit', () => {
    const out = outcomeOf({ type: 'integer' }, 'twelve') ?? null;
    const outcome = compilePolicy(
      smallDocument([
        {
          id: 'x',
          gives: { x: { type: 'integer' } },
          table: { hit: 'first', columns: {}, rules: [rule('R1', {}, { x: out })] },
        },
      ]),
    );
    expect(outcome).toMatchObject({ ok: false, faults: [{ decision: 'x', rule: 'R1', outcome: 'x' }] });
  });

  it('has its type in words', () => {
    expect(typeWords({ ...ENUM, optional: true })).toBe('pay, decline, or null');
    expect(typeWords({ type: 'integer', min: 0, max: 9 })).toBe('whole number from 0 to 9');
    expect(typeWords({ type: 'decimal', min: '0' })).toBe('decimal from 0');
    expect(typeWords({ type: 'integer', max: 9 })).toBe('whole number up to 9');
    expect(typeWords({ type: 'text', list: true })).toBe('list of text');
  });
});
