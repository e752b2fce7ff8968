import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { holds, oneCell, ready, rule, smallDocument, value } from '../../../tests/support/small-policy.js';
import type { Facts, PolicyDecision, PolicyRule, PolicyTable } from '../policies.contract.js';
import { compilePolicy } from './compile-policy.js';
import { PolicyConflict } from './policy-conflict.js';
import { runExamples } from './run-examples.js';

const worked: unknown = JSON.parse(readFileSync(new URL('./worked-example.policy.json', import.meta.url), 'utf8'));

describe('the worked example', () => {
  const compiled = compilePolicy(worked);
  if (!compiled.ok) throw new Error(JSON.stringify(compiled.faults));
  const { policy } = compiled;

  // Expected answers stand in the document beside the facts and were worked out by hand.
  it.each(runExamples(policy))('$id', ({ differences }) => {
    expect(differences).toEqual([]);
  });

  it('explains an answer with the rule, the cells that held, their values, and the parameters read', () => {
    const example = policy.document.examples.find(({ id }) => id === 'leg-day5-new');
    const { fired, parameters } = policy.evaluate('2026-07-01', example?.given ?? {});
    expect(fired.map(({ decision, rule }) => `${decision}/${rule}`)).toEqual([
      'responsibility/RES-30',
      'remedy/REM-30',
    ]);
    expect(fired[0]).toEqual({
      decision: 'responsibility',
      rule: 'RES-30',
      because: 'hidden damage reported inside the notice period',
      cells: [
        { column: 'defect', cell: '"frame", "leg"', value: 'leg' },
        { column: 'found', cell: '"unboxing"', value: 'unboxing' },
        { column: 'age', cell: '<= notice days', value: 5 },
      ],
    });
    expect(parameters).toEqual([
      { name: 'notice days', from: '2026-07-01', value: '7' },
      { name: 'part share limit', from: '2024-01-01', value: '0.4' },
    ]);
  });

  it('gives parameters by day, half-open, and none before the first date', () => {
    expect(policy.parameter('notice days', '2023-12-31')).toBeUndefined();
    expect(policy.parameter('notice days', '2024-01-01')).toBe('3');
    expect(policy.parameter('notice days', '2026-06-30')).toBe('3');
    expect(policy.parameter('notice days', '2026-07-01')).toBe('7');
    expect(policy.parameter('no such', '2026-07-01')).toBeUndefined();
  });

  it('hashes the document, whatever the order of its keys', () => {
    const turned = Object.fromEntries(Object.entries(worked as Record<string, unknown>).toReversed());
    const again = compilePolicy(turned);
    expect(policy.hash).toMatch(/^[0-9a-f]{64}$/);
    expect(again.ok && again.policy.hash).toBe(policy.hash);
  });

  it('runs what a named decision reads, and nothing else', () => {
    const given = { 'defect class': 'carton', 'purchase price': '899.90' };
    const result = policy.evaluate('2026-03-01', given, ['remedy']);
    expect(result.outcomes).toEqual({ responsible: 'carrier', remedy: 'allowance' });
    expect(() => policy.evaluate('2026-03-01', given, ['no such'])).toThrow(RangeError);
  });
});

function table(over: Partial<PolicyTable>): PolicyDecision {
  return {
    id: 'who',
    gives: { who: { type: 'enum', values: ['carrier', 'maker', 'crew'] } },
    table: { hit: 'first', columns: { part: 'part', noted: 'noted', days: 'days' }, rules: [], ...over },
  };
}
const who = (id: string, when: Record<string, string>, party: string): PolicyRule => rule(id, when, { who: party });

describe('facts that are not known', () => {
  const three = [
    who('A', { part: '"leg"', noted: 'true' }, 'carrier'),
    who('B', { part: '"leg"', days: '> 3' }, 'maker'),
    who('C', { part: 'not("leg")' }, 'crew'),
  ];
  const ask = (facts: Facts, over: Partial<PolicyTable> = {}): string => {
    const { outcomes, needs, noRule } = ready(smallDocument([table({ rules: three, ...over })])).evaluate(
      '2026-03-01',
      facts,
    );
    if (noRule.length > 0) return 'no rule';
    return needs.length > 0 ? `needs ${needs.map(({ fact }) => fact).join(', ')}` : String(outcomes['who']);
  };

  it.each<[string, Facts, string]>([
    ['a negated cell is not met by a fact that nobody gave', {}, 'needs part, noted, days'],
    ['what cannot matter is not asked for', { part: 'motor' }, 'crew'],
    ['a sure rule does not win over a possible one above it', { part: 'leg', days: 4 }, 'needs noted'],
    ['a rule that is out asks for nothing', { part: 'leg', noted: false, days: 4 }, 'maker'],
    ['no rule is said, never guessed', { part: 'leg', noted: false, days: 3 }, 'no rule'],
    ['without otherwise a possible rule alone does not answer', { part: 'leg', noted: false }, 'needs days'],
  ])('%s', (_, facts, expected) => {
    expect(ask(facts)).toBe(expected);
  });

  it('decides when all that is still possible agrees', () => {
    const agree = [who('A', { part: '"leg"', noted: 'true' }, 'carrier'), who('B', { part: '"leg"' }, 'carrier')];
    expect(ask({ part: 'leg' }, { rules: agree })).toBe('carrier');
    const lone = [who('A', { noted: 'true' }, 'carrier')];
    expect(ask({}, { rules: lone, otherwise: { who: 'carrier' } })).toBe('carrier');
    expect(ask({}, { rules: lone, otherwise: { who: 'maker' } })).toBe('needs noted');
  });

  it('tells a fact known to be absent from one that nobody gave', () => {
    expect(holds('colour', 'not("oak")', { colour: null })).toBe('yes');
    expect(holds('colour', 'not("oak")', {})).toEqual(['colour']);
    expect(holds('colour', '-', {})).toBe('yes');
  });

  it('takes no answer from a parameter before its first date', () => {
    const policy = ready(smallDocument([{ ...oneCell('days', '<= notice days') }]));
    expect(policy.evaluate('2023-12-31', { days: 1 })).toMatchObject({ outcomes: {}, needs: [], noRule: ['hit'] });
    expect(policy.evaluate('2024-01-01', { days: 1 }).outcomes).toEqual({ hit: 'yes' });
  });

  it('knows an expression whose open parts cannot change it', () => {
    expect(value('noted or days > 3', { type: 'boolean' }, { days: 4 })).toBe(true);
    expect(value('noted and days > 3', { type: 'boolean' }, { days: 1 })).toBe(false);
    expect(value('noted and days > 3', { type: 'boolean' }, { days: 4 })).toEqual(['noted']);
    expect(value('if noted then 5 else 5', { type: 'decimal' })).toBe('5');
    expect(value('if noted then days else price paid', { type: 'decimal' })).toEqual(['noted']);
  });

  it('asks first for what an earlier decision needs', () => {
    const later: PolicyDecision = {
      id: 'cost',
      gives: { cost: { type: 'decimal' } },
      expression: 'if who = "crew" then price paid else 0',
    };
    const policy = ready(smallDocument([table({ rules: three }), later]));
    const { needs } = policy.evaluate('2026-03-01', { part: 'leg', noted: false });
    expect(needs).toEqual([
      { fact: 'days', decision: 'who' },
      { fact: 'days', decision: 'cost' },
    ]);
    const known = { part: 'leg', noted: false, days: 1, 'price paid': '9.90' };
    expect(policy.evaluate('2026-03-01', known).noRule).toEqual(['who', 'cost']);
  });
});

describe('hit policies', () => {
  const both = [who('A', { part: '"leg"' }, 'carrier'), who('B', { noted: 'true' }, 'maker')];

  it('first takes the upper rule', () => {
    const policy = ready(smallDocument([table({ rules: both })]));
    expect(policy.evaluate('2026-03-01', { part: 'leg', noted: true }).outcomes).toEqual({ who: 'carrier' });
  });

  it('unique refuses two hits, naming both, rather than choosing one', () => {
    const policy = ready(smallDocument([table({ rules: both, hit: 'unique' })]));
    expect(policy.evaluate('2026-03-01', { part: 'leg', noted: false }).outcomes).toEqual({ who: 'carrier' });
    const run = (): unknown => policy.evaluate('2026-03-01', { part: 'leg', noted: true });
    expect(run).toThrow(PolicyConflict);
    expect(run).toThrow(/rules A and B both hold/);
  });
});

describe('facts at the edge', () => {
  const policy = ready(smallDocument([oneCell('days', '> 3')]));
  it.each<[string, Record<string, unknown>]>([
    ['an undeclared fact', { nobody: 1 }],
    ['a value outside the enum', { part: 'legs' }],
    ['text for a whole number', { days: '4' }],
    ['a fraction for a whole number', { days: 4.5 }],
    ['a binary fraction for a decimal', { 'price paid': 0.1 }],
    ['a decimal comma', { 'price paid': '1,5' }],
    ['an exponent', { 'price paid': '1e3' }],
    ['more than 34 digits', { 'price paid': `1${'0'.repeat(34)}` }],
    ['a day that is not in the calendar', { 'delivered on': '2026-02-30' }],
    ['null for a fact that is not optional', { noted: null }],
    ['one for true', { noted: 1 }],
    ['the name of a prototype', { constructor: 1 }],
  ])('%s is refused', (_, facts) => {
    expect(() => policy.evaluate('2026-03-01', facts as Facts)).toThrow(RangeError);
  });

  it('a day that is none is refused', () => {
    expect(() => policy.evaluate('1 March', {})).toThrow(RangeError);
    expect(() => policy.parameter('notice days', '2026-02-30')).toThrow(RangeError);
  });
});
