import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { FACTS, faultsOf, oneCell, rule, smallDocument } from '../../../tests/support/small-policy.js';
import type { PolicyDecision, PolicyDocument } from '../policies.contract.js';
import { compilePolicy } from './compile-policy.js';

describe('documents that do not compile', () => {
  const right = smallDocument([oneCell('days', '> 3')]);
  const [first] = right.decisions;
  const decision = (over: Record<string, unknown>): Partial<PolicyDocument> => ({
    decisions: [{ ...(first as PolicyDecision), ...over }],
  });
  const hit = (over: Record<string, unknown>): Partial<PolicyDocument> =>
    decision({ table: { ...first?.table, ...over } });

  it.each<[string, Record<string, unknown>, RegExp]>([
    ['an unknown key', { colour: 'red' }, /"colour" is not a key of this format/],
    ['a missing key', { caution: undefined }, /caution: Text is needed/],
    ['another format', { format: 'policy/2' }, /format: One of policy\/1/],
    [
      'a currency without minor units',
      { money: { currency: 'XXX', scale: 2, rounding: 'half even' } },
      /XXX is not a currency/,
    ],
    ['wrong digits of a currency', { money: { currency: 'JPY', scale: 2, rounding: 'half even' } }, /JPY has 0 digits/],
    ['an unknown rounding', { money: { currency: 'EUR', scale: 2, rounding: 'bankers' } }, /rounding: One of/],
    ['no such time zone', { zone: 'Europe/Nowhere' }, /not a time zone/],
    ['governed by something that is no date', { governedBy: 'days' }, /must be a fact of type date/],
    ['an unknown type', { facts: { ...FACTS, x: { type: 'money' } } }, /facts › x: "type" must be one of/],
    ['a bad name', { facts: { ...FACTS, 'x-y': { type: 'date' } } }, /"x-y" cannot be a name/],
    ['a word of the language as a name', { facts: { ...FACTS, else: { type: 'date' } } }, /"else" cannot be a name/],
    [
      'one name twice',
      { parameters: { days: { type: 'integer', values: [{ from: '2024-01-01', value: 1 }] } } },
      /The name "days" is used more than once/,
    ],
    [
      'an enum value twice',
      { facts: { ...FACTS, x: { type: 'enum', values: ['a', 'a'] } } },
      /the value "a" is used more than once/,
    ],
    ['min above max', { facts: { ...FACTS, x: { type: 'integer', min: 2, max: 1 } } }, /min is above max/],
    [
      'dates out of order',
      {
        parameters: {
          p: {
            type: 'integer',
            values: [
              { from: '2026-01-01', value: 1 },
              { from: '2025-01-01', value: 2 },
            ],
          },
        },
      },
      /dates are out of order/,
    ],
    [
      'a decimal for a whole number',
      { parameters: { p: { type: 'integer', values: [{ from: '2026-01-01', value: '1.5' }] } } },
      /p › 2026-01-01: "1.5" is not a whole number/,
    ],
    [
      'no table and no expression',
      decision({ table: undefined, expression: undefined }),
      /An object is needed here|either a table or an expression/,
    ],
    ['a decision twice', { decisions: [first, first] }, /The decision id "hit" is used more than once/],
    ['an unknown hit policy', hit({ hit: 'best' }), /hit: One of unique, any, first, priority/],
    ['an unknown column', hit({ rules: [rule('R1', { d: '1' }, { hit: 'yes' })] }), /There is no column "d"/],
    ['an outcome outside gives', hit({ rules: [rule('R1', {}, { hit: 'maybe' })] }), /"maybe" is not one of yes, no/],
    [
      'a rule id twice',
      hit({ rules: [1, 2].map(() => rule('R1', {}, { hit: 'yes' })) }),
      /The rule id "R1" is used more than once/,
    ],
    ['otherwise without an outcome', hit({ otherwise: {} }), /The outcome "hit" is missing/],
    [
      'a later outcome read earlier',
      {
        decisions: [oneCell('later', 'true'), { id: 'l', gives: { later: { type: 'boolean' } }, expression: 'noted' }],
      },
      /There is no fact, parameter or earlier outcome named later/,
    ],
    [
      'an example with an undeclared fact',
      { examples: [{ id: 'e', on: '2026-01-01', given: { nobody: 1 }, expect: {} }] },
      /e: nobody: the policy declares no such fact/,
    ],
    [
      'an example that expects no outcome of any decision',
      { examples: [{ id: 'e', on: '2026-01-01', given: {}, expect: { nothing: 1 } }] },
      /"nothing" is not an outcome of any decision/,
    ],
    [
      'a clock with a parameter that is none',
      {
        clocks: [
          {
            id: 'c',
            title: 't',
            ground: 'g',
            source: 's',
            starts: 'filed',
            length: 'years',
            unit: 'months',
            stops: 'settled',
            lapse: 'breach',
            owedBy: 'seller',
          },
        ],
      },
      /years is not a parameter of type integer/,
    ],
    [
      'a clock with an unknown start',
      {
        clocks: [
          {
            id: 'c',
            title: 't',
            ground: 'g',
            source: 's',
            starts: 'dawn',
            length: 1,
            unit: 'months',
            stops: 'settled',
            lapse: 'breach',
            owedBy: 'seller',
          },
        ],
      },
      /starts: One of delivered/,
    ],
  ])('%s', (_, over, detail) => {
    expect(
      faultsOf({ ...right, ...over })
        .map((fault) => fault.detail)
        .join('\n'),
    ).toMatch(detail);
  });

  it.each([null, 1, 'policy', [], {}])('%j', (document) => {
    expect(faultsOf(document).length).toBeGreaterThan(0);
  });

  it('refuses more than 2,000 rules', () => {
    const rules = Array.from({ length: 2001 }, (_, i) => rule(`R${i}`, {}, { hit: 'yes' }));
    expect(faultsOf({ ...right, ...hit({ rules }) })[0]?.detail).toMatch(/at most 2000 rules/);
  });

  it('places a fault in a cell by decision, rule, column and characters', () => {
    const faults = faultsOf(smallDocument([oneCell('part', '"leg", carton')]));
    expect(faults).toEqual([
      {
        decision: 'hit',
        rule: 'R1',
        column: 'c',
        from: 7,
        to: 13,
        detail: 'This is text: write "carton" with quotes.',
      },
    ]);
  });

  it('reports every cell that is wrong, not the first alone', () => {
    const rules = ['>', '1,5', '3'].map((c, i) => rule(`R${i}`, { c }, { hit: 'yes' }));
    expect(faultsOf({ ...right, ...hit({ rules }) }).map((fault) => fault.rule)).toEqual(['R0', 'R1']);
  });
});

describe('a document with something broken in it', () => {
  const text = readFileSync(new URL('./worked-example.policy.json', import.meta.url), 'utf8');

  /** Every place of a JSON value, as the steps that lead to it. */
  function places(value: unknown, path: readonly string[] = []): (readonly string[])[] {
    const below = typeof value === 'object' && value !== null ? Object.entries(value) : [];
    return [path, ...below.flatMap(([key, item]) => places(item, [...path, key]))];
  }
  function replaced(value: unknown, path: readonly string[], by: unknown): unknown {
    const [step, ...rest] = path;
    if (step === undefined) return by;
    if (Array.isArray(value)) return value.map((item, i) => (String(i) === step ? replaced(item, rest, by) : item));
    return { ...(value as object), [step]: replaced((value as Record<string, unknown>)[step], rest, by) };
  }

  // 1,500 documents are compiled; on a busy machine the default time is too short.
  it('is refused with sentences or still right, and never throws', { timeout: 60_000 }, () => {
    const junk = fc.oneof(
      fc.constantFrom(null, -1, 1.5, 2 ** 60, '', 'abc', '1,5', '[1..', '"', true, [], {}, [null], {
        type: 'decimal',
        min: 'x',
      }),
      fc.string(),
      fc.jsonValue({ maxDepth: 3 }),
    );
    fc.assert(
      fc.property(fc.constantFrom(...places(JSON.parse(text))), junk, (path, by) => {
        const outcome = compilePolicy(replaced(JSON.parse(text), path, by));
        if (outcome.ok) return;
        expect(outcome.faults.length).toBeGreaterThan(0);
        for (const { detail } of outcome.faults) expect(detail).toMatch(/\S/);
      }),
      { numRuns: 1500 },
    );
  });
});
