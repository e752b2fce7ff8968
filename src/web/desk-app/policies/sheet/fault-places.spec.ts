import { describe, expect, it } from 'vitest';
import { analysePolicy } from '../../../../policies/analysis.contract.js';
import { compilePolicy, type PolicyDocument } from '../../../../policies/policies.contract.js';
import { ready, rule, smallDocument } from '../../../../../tests/support/small-policy.js';
import { answerTo } from './checker.js';
import { byWeight, concernsByRow, concernsOfFaults, concernsOfFindings } from './fault-places.js';
import { documentWith, partOfDecision } from './sheet-parts.js';

const PART = partOfDecision('out');
const OUT = { type: 'enum', values: ['a', 'b'] } as const;
const document = (over: Partial<PolicyDocument> = {}): PolicyDocument =>
  smallDocument(
    [
      {
        id: 'out',
        gives: { out: OUT },
        table: {
          hit: 'first',
          columns: { days: 'days' },
          rules: [rule('R-10', { days: '> 3' }, { out: 'a' }), rule('R-20', { days: '> 5' }, { out: 'b' })],
          otherwise: { out: 'b' },
        },
      },
    ],
    {
      clocks: [
        {
          id: 'answer-in-time',
          title: 'Answer in time',
          ground: 'house rule',
          source: 'house rule',
          starts: 'filed',
          length: 'notice days',
          unit: 'calendar days',
          stops: 'decided',
          lapse: 'internal',
          owedBy: 'service',
        },
      ],
      ...over,
    },
  );
/** Where the faults of a document lead that has one cell written. */
const places = (part: string, row: number, column: number, text: string, of = document()) => {
  const written = documentWith(of, part, { row, column }, text);
  const outcome = compilePolicy(written);
  return outcome.ok ? [] : concernsOfFaults(written, outcome.faults).map(({ place }) => place);
};

describe('a fault leads to its cell', () => {
  it.each([
    ['a condition', PART, 0, 1, 'leg', { row: 0, column: 1 }],
    ['an outcome', PART, 1, 2, 'c', { row: 1, column: 2 }],
    ['an outcome that is missing', PART, 1, 2, '', { row: 1, column: 2 }],
    ['an outcome of the last row', PART, 2, 2, 'c', { row: 2, column: 2 }],
    ['an id that is used twice', PART, 0, 0, 'R-20', { row: 1, column: 0 }],
    ['an exception to nobody', PART, 0, 5, 'R-99', { row: 0 }],
    ['a value of a parameter', 'parameters', 1, 2, 'seven', { row: 1 }],
    ['a day of a parameter', 'parameters', 1, 1, '1 July', { row: 1 }],
    ['a fact', 'facts', 0, 2, 'carton, carton', { row: 0 }],
    ['a clock', 'clocks', 0, 3, 'notice weeks', { row: 0 }],
    ['an instant that there is not', 'clocks', 0, 2, 'yesterday', { row: 0 }],
  ])('%s', (_what, part, row, column, text, place) => {
    expect(places(part, row, column, text)).toContainEqual({ part, ...place });
  });

  it('or to the part where nothing more is known', () => {
    const nowhere = document({ zone: 'Nowhere/Else' });
    const outcome = compilePolicy(nowhere);
    expect(outcome.ok ? [] : concernsOfFaults(nowhere, outcome.faults)).toMatchObject([
      { weight: 'unread', place: { part: 'about' } },
    ]);
  });

  it('with the characters that it is about', () => {
    const written = documentWith(document(), PART, { row: 0, column: 1 }, '> 3, leg');
    const outcome = compilePolicy(written);
    const [concern] = outcome.ok ? [] : concernsOfFaults(written, outcome.faults);
    expect('> 3, leg'.slice(concern?.from, concern?.to)).toBe('leg');
  });
});

describe('a finding leads to its row', () => {
  const { findings } = analysePolicy(ready(document()));
  const concerns = concernsOfFindings(document(), findings);

  it('and marks it, with the gravest weight', () => {
    const masked = concerns.find(({ finding }) => finding?.kind === 'masked');
    expect(masked).toMatchObject({ weight: 'warning', place: { part: PART, row: 1 } });
    expect(concernsByRow(concerns, PART).get(1)).toEqual({ weight: 'warning', unread: [] });
    expect(concernsByRow(concerns, 'parameters').size).toBe(0);
  });

  it('the gravest first; what is only worth knowing marks no row', () => {
    const weights = byWeight(concerns).map(({ weight }) => weight);
    expect(weights.lastIndexOf('warning')).toBeLessThan(weights.indexOf('information'));
    const known = concerns.filter(({ weight }) => weight === 'information');
    expect([known.length > 0, concernsByRow(known, PART).size]).toEqual([true, 0]);
  });

  it('cells that cannot be read are marked one by one', () => {
    const rows = concernsByRow(
      [
        { weight: 'warning', place: { part: PART, row: 1 }, says: '' },
        { weight: 'unread', place: { part: PART, row: 1, column: 2 }, says: '' },
        { weight: 'unread', place: { part: PART, row: 1, column: 3 }, says: '' },
      ],
      PART,
    );
    expect(rows.get(1)).toEqual({ weight: 'unread', unread: [2, 3] });
  });
});

describe('the checker', () => {
  const of = (facts: Record<string, number>, name?: string) =>
    answerTo({
      kind: 'case',
      document: document(),
      on: '2026-03-01',
      facts,
      ...(name === undefined ? {} : { rule: { decision: 'out', rule: name } }),
    });

  it('says what the service would say of a case, and why not another rule', () => {
    expect(of({ days: 9 }, 'R-20')).toMatchObject({
      ok: true,
      evaluation: { outcomes: { out: 'a' }, fired: [{ rule: 'R-10' }] },
      whyNot: { rule: 'R-20', failing: [], maskedBy: ['R-10'] },
    });
  });

  it('says in a sentence why a case cannot be run', () => {
    expect(of({ weight: 9 })).toEqual({ ok: false, detail: expect.stringContaining('weight') as string });
    const broken = documentWith(document(), PART, { row: 0, column: 1 }, 'leg');
    expect(answerTo({ kind: 'case', document: broken, on: '2026-03-01', facts: {} })).toMatchObject({ ok: false });
    expect(answerTo({ kind: 'examination', document: broken })).toBeUndefined();
    expect(answerTo({ kind: 'faults', document: { format: 'policy/9' } })).not.toEqual([]);
  });
});
