import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { ready, rule, smallDocument } from '../../../tests/support/small-policy.js';
import type { Facts, PolicyDocument } from '../policies.contract.js';

const document = JSON.parse(
  readFileSync(new URL('worked-example.policy.json', import.meta.url), 'utf8'),
) as PolicyDocument;
const policy = ready(document);
const LEG: Facts = {
  'defect class': 'leg',
  'noted on delivery note': false,
  'found at': 'unboxing',
  'days since delivery': 5,
  'purchase price': '899.90',
  'part price': '60.00',
  'part in stock': true,
};

describe('the trace of a decision', () => {
  const traced = policy.evaluate('2026-07-01', LEG, undefined, { trace: true });
  const [responsibility, remedy, amount] = traced.trace ?? [];

  it('has every cell of the rule with the alternative that held, its value, and its parameter with its date', () => {
    expect(responsibility).toMatchObject({ decision: 'responsibility', result: 'decided', hit: 'first' });
    const [fired] = responsibility?.fired ?? [];
    expect(fired).toMatchObject({ rule: 'RES-30', because: expect.stringContaining('notice') as string });
    expect(fired?.cells.map(({ column, value, holds }) => [column, value, holds])).toEqual([
      ['defect', 'leg', 'yes'],
      ['found', 'unboxing', 'yes'],
      ['age', 5, 'yes'],
    ]);
    const [defect, , age] = fired?.cells ?? [];
    expect(defect?.cell.slice(defect.from, defect.to)).toBe('"leg"');
    expect(age?.parameters).toEqual([{ name: 'notice days', from: '2026-07-01', value: '7' }]);
    expect(age?.expression).toBe('days since delivery');
  });

  it('goes through all decisions, also those that are expressions', () => {
    expect(remedy?.fired.map((fired) => fired.rule)).toEqual(['REM-30']);
    expect(amount).toMatchObject({ decision: 'amount', outcomes: { amount: '0' }, fired: [] });
    expect(amount?.expression).toContain('decimal(');
  });

  it('costs nothing where it is not asked for', () => {
    const plain = policy.evaluate('2026-07-01', LEG);
    expect(plain.trace).toBeUndefined();
    expect({ ...traced, trace: undefined }).toEqual({ ...plain, trace: undefined });
  });

  it('names the rules that hold too, those that give way, and those that may still hold', () => {
    const small = ready(
      smallDocument([
        {
          id: 'out',
          gives: { out: { type: 'enum', values: ['a', 'b'] } },
          table: {
            hit: 'first',
            columns: { days: 'days', noted: 'noted' },
            rules: [
              rule('R1', { days: '> 0' }, { out: 'a' }),
              { ...rule('R2', { days: '> 5' }, { out: 'b' }), overrides: ['R1'] },
              rule('R3', { days: '> 6' }, { out: 'a' }),
              rule('R4', { noted: 'true' }, { out: 'b' }),
            ],
          },
        },
      ]),
    );
    expect(small.evaluate('2026-03-01', { days: 9 }, undefined, { trace: true }).trace).toMatchObject([
      {
        fired: [{ rule: 'R2' }],
        masked: ['R3'],
        overridden: [{ rule: 'R1', by: 'R2' }],
        possible: [{ rule: 'R4', facts: ['noted'] }],
      },
    ]);
  });
});

describe('why not another outcome', () => {
  it('lists the rules that would give it, nearest first, with the cells that fail', () => {
    const answer = policy.whyNot(
      '2026-07-01',
      { ...LEG, 'days since delivery': 30 },
      { name: 'responsible', value: 'carrier' },
    );
    expect(answer).toMatchObject({ decision: 'responsibility', is: 'customer', wanted: 'carrier' });
    expect(answer.rules.map(({ rule: id, failing }) => [id, failing.map(({ column }) => column)])).toEqual([
      ['RES-10', ['defect']],
      ['RES-20', ['noted']],
      ['RES-30', ['age']],
    ]);
  });

  it('finds the nearest change, and running the policy with it gives the outcome', () => {
    const facts = { ...LEG, 'days since delivery': 30 };
    for (const [name, value] of [
      ['responsible', 'carrier'],
      ['responsible', 'crew'],
      ['remedy', 'part'],
      ['remedy', 'allowance'],
      ['amount', '134.98'],
    ] as const) {
      const { nearest } = policy.whyNot('2026-07-01', facts, { name, value });
      expect(nearest, `${name} ${value}`).toBeDefined();
      const changed = { ...facts, ...Object.fromEntries(nearest!.changes.map(({ fact, becomes }) => [fact, becomes])) };
      expect(policy.evaluate('2026-07-01', changed as Facts).outcomes[name]).toBe(value);
      expect(nearest!.changes.length).toBe(1);
    }
  });

  it('says which rule stands before one that holds', () => {
    const small = ready(
      smallDocument([
        {
          id: 'out',
          gives: { out: { type: 'enum', values: ['a', 'b', 'c', 'd'] } },
          table: {
            hit: 'first',
            columns: { days: 'days' },
            rules: [
              { ...rule('R0', { days: '> 20' }, { out: 'c' }), overrides: ['R1'] },
              rule('R1', { days: '> 5' }, { out: 'a' }),
              rule('R2', { days: '> 3' }, { out: 'b' }),
            ],
            otherwise: { out: 'd' },
          },
        },
      ]),
    );
    const b = small.whyNot('2026-03-01', { days: 9 }, { name: 'out', value: 'b' });
    expect(b.rules).toMatchObject([{ rule: 'R2', failing: [], maskedBy: ['R1'], overriddenBy: [] }]);
    // R2 decides from 4 to 5 days, and 5 is the nearest of them.
    expect(b.nearest?.changes).toEqual([{ fact: 'days', was: 9, becomes: 5 }]);
    const a = small.whyNot('2026-03-01', { days: 30 }, { name: 'out', value: 'a' });
    expect(a.rules).toMatchObject([{ rule: 'R1', failing: [], maskedBy: [], overriddenBy: ['R0'] }]);
    const d = small.whyNot('2026-03-01', { days: 9 }, { name: 'out', value: 'd' });
    expect(d).toMatchObject({ rules: [], beforeOtherwise: ['R1', 'R2'], nearest: { changes: [{ becomes: 3 }] } });
  });

  it('has no nearest change where no boundary gives the outcome', () => {
    const small = ready(
      smallDocument([{ id: 'x', gives: { x: { type: 'integer' } }, expression: 'if noted then 1 else 2' }]),
    );
    expect(small.whyNot('2026-03-01', { noted: true }, { name: 'x', value: 3 })).toMatchObject({ is: 1, rules: [] });
    expect(small.whyNot('2026-03-01', { noted: true }, { name: 'x', value: 3 }).nearest).toBeUndefined();
  });

  it('refuses an outcome that nobody gives, and a value that it cannot have', () => {
    expect(() => policy.whyNot('2026-07-01', LEG, { name: 'colour', value: 'red' })).toThrow(/gives "colour"/);
    expect(() => policy.whyNot('2026-07-01', LEG, { name: 'remedy', value: 'applause' })).toThrow(/is not one of/);
  });

  it('says what stands against one rule that somebody names, and nothing of the one that decides', () => {
    const facts = { ...LEG, 'days since delivery': 30 };
    const against = (id: string) => policy.whyNotRule('2026-07-01', facts, { decision: 'responsibility', rule: id });
    expect(against('RES-30').failing.map(({ column, value }) => [column, value])).toEqual([['age', 30]]);
    const decides = policy.whyNotRule('2026-07-01', LEG, { decision: 'responsibility', rule: 'RES-30' });
    expect(decides).toMatchObject({ rule: 'RES-30', failing: [], maskedBy: [], overriddenBy: [] });
    expect(() => against('RES-99')).toThrow(/no rule "RES-99" in "responsibility"/);
    expect(() => policy.whyNotRule('2026-07-01', facts, { decision: 'amount', rule: 'RES-30' })).toThrow(/no rule/);
  });
});
