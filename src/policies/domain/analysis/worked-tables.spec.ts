import { describe, expect, it } from 'vitest';
import { policyWith, tableDecision } from '../../../../tests/support/table-policy.js';
import { analysePolicy, regionTest, type PolicyFinding } from '../../analysis.contract.js';
import type { CompiledPolicy, FactType, Facts, PolicyDecision } from '../../policies.contract.js';

const DAY = '2026-03-01';

function policyOf(facts: Readonly<Record<string, FactType>>, ...decisions: PolicyDecision[]): CompiledPolicy {
  return policyWith({ facts, decisions });
}

function findings(policy: CompiledPolicy, kind: PolicyFinding['kind']): PolicyFinding[] {
  return analysePolicy(policy).findings.filter((finding) => finding.kind === kind);
}

/** Tests whether any of the findings is about a claim. */
function coverage(policy: CompiledPolicy, found: readonly PolicyFinding[]): (facts: Facts) => boolean {
  const tests = found.map((finding) => regionTest(policy, finding));
  return (facts) => tests.some((test) => test(DAY, facts));
}

/** Values around every end, so that each part of the space is looked at. */
function* combinations(values: Readonly<Record<string, readonly Facts[string][]>>): Generator<Facts> {
  const [[name, list] = ['', []], ...rest] = Object.entries(values);
  for (const value of list) {
    if (rest.length === 0) yield { [name]: value };
    else for (const other of combinations(Object.fromEntries(rest))) yield { [name]: value, ...other };
  }
}

/** A loan table: the shape is that of the figure in Calvanese et al., Semantics and Analysis of DMN Decision Tables; its numbers from memory. */
describe('income and size of a loan', () => {
  const numbers = { type: 'decimal', min: '0', scale: 0 } as const;
  const policy = policyOf(
    { income: numbers, size: numbers },
    tableDecision(
      'grade',
      ['income', 'size'],
      [
        ['A', { income: '[0..1000]', size: '[0..1000]' }, 'a'],
        ['B', { income: '[250..750]', size: '[4000..5000]' }, 'b'],
        ['C', { income: '[500..1500]', size: '[500..3000]' }, 'c'],
        ['D', { income: '[2000..2500]', size: '[0..2000]' }, 'd'],
      ],
      { hit: 'unique' },
    ),
  );

  it('has one overlap: A and C, at income and size 500 to 1000', () => {
    const [overlap, ...rest] = findings(policy, 'overlap');
    expect(rest).toEqual([]);
    expect(overlap).toMatchObject({
      severity: 'error',
      rules: ['A', 'C'],
      region: [{ income: '[500..1000]', size: '[500..1000]' }],
      example: { given: { income: '500', size: '500' } },
    });
    expect(overlap?.detail).toBe(
      'A and C both hold, and the table allows only one when income is 500 to 1000 and size is 500 to 1000.',
    );
  });

  it('has gaps exactly where no rule holds, on and beside every end', () => {
    const gaps = findings(policy, 'gap');
    const covered = coverage(policy, gaps);
    const ends = [0, 250, 500, 750, 1000, 1500, 2000, 2500, 3000, 4000, 5000];
    const values = [...new Set(ends.flatMap((end) => [end - 1, end, end + 1]))]
      .filter((value) => value >= 0)
      .map(String);
    let free = 0;
    for (const facts of combinations({ income: values, size: values })) {
      const [income, size] = [Number(facts['income']), Number(facts['size'])];
      const inside = (low: number, value: number, high: number): boolean => low <= value && value <= high;
      const held =
        (inside(0, income, 1000) && inside(0, size, 1000)) ||
        (inside(250, income, 750) && inside(4000, size, 5000)) ||
        (inside(500, income, 1500) && inside(500, size, 3000)) ||
        (inside(2000, income, 2500) && inside(0, size, 2000));
      if (!held) free += 1;
      expect(covered(facts), JSON.stringify(facts)).toBe(!held);
    }
    expect(free).toBeGreaterThan(100);
    expect(gaps.length).toBeLessThanOrEqual(10);
  });
});

describe('defect, note and days of a delivery', () => {
  const facts = {
    defect: { type: 'enum', values: ['carton', 'frame', 'leg', 'motor', 'electronics'] },
    noted: { type: 'boolean' },
    days: { type: 'integer', min: 0, max: 3650 },
  } as const;
  const rules = [
    ['1', { defect: '"carton"', noted: 'true' }, 'a'],
    ['2', { defect: '"frame", "leg"', noted: 'true', days: '[0..7]' }, 'b'],
    ['3', { defect: '"motor", "electronics"', days: '[0..730]' }, 'c'],
    ['4', { defect: '"frame", "leg"', noted: 'false', days: '[0..2]' }, 'd'],
    ['5', { defect: '"motor"', noted: 'false', days: '[700..900]' }, 'e'],
    ['6', { defect: 'not("carton")', days: '[731..3650]' }, 'f'],
    ['7', { defect: '"motor"', noted: 'true', days: '[10..900]' }, 'g'],
  ] as const;
  const table = (hit: 'first' | 'unique') =>
    policyOf(facts, tableDecision('answer', ['defect', 'noted', 'days'], rules, { hit }));

  it('has the overlaps 3 and 5, 5 and 6, 3 and 7, 6 and 7', () => {
    const found = findings(table('unique'), 'overlap');
    const pairs = found.flatMap(({ rules: [first = '', ...others] }) =>
      others.map((other) => [first, other].toSorted().join()),
    );
    expect(pairs.toSorted()).toEqual(['3,5', '3,7', '5,6', '6,7']);
    const regions = found.flatMap(({ region }) => region ?? []);
    expect(regions).toEqual(
      expect.arrayContaining([
        { defect: '"motor"', noted: 'false', days: '[700..730]' },
        { defect: '"motor"', noted: 'false', days: '[731..900]' },
        { defect: '"motor"', noted: 'true', days: '[10..730]' },
        { defect: '"motor"', noted: 'true', days: '[731..900]' },
      ]),
    );
    expect(regions).toHaveLength(4);
  });

  it('has the gaps carton not noted, frame or leg not noted at 3 to 730 days, and frame or leg at 8 to 730', () => {
    const policy = table('unique');
    const gaps = findings(policy, 'gap');
    const covered = coverage(policy, gaps);
    for (const claim of combinations({
      defect: facts.defect.values,
      noted: [true, false],
      days: [0, 2, 3, 7, 8, 730, 731, 3650],
    })) {
      const [defect, noted, days] = [claim['defect'], claim['noted'], Number(claim['days'])];
      const isPart = defect === 'frame' || defect === 'leg';
      const expected =
        (defect === 'carton' && noted === false) ||
        (isPart && noted === false && days >= 3 && days <= 7) ||
        (isPart && days >= 8 && days <= 730);
      expect(covered(claim), JSON.stringify(claim)).toBe(expected);
    }
    expect(gaps.map(({ detail }) => detail)).toContain(
      'No rule answers when defect is frame or leg and days is 8 to 730.',
    );
    expect(gaps.map(({ example }) => example?.words)).toContain('defect frame, days 8');
  });

  it('has one masked rule under "first": 7, by 3 and 6 together', () => {
    expect(findings(table('first'), 'masked')).toMatchObject([{ rules: ['7', '3', '6'], severity: 'warning' }]);
  });
});

describe('holes at a boundary', () => {
  const priced = (type: FactType, low: string, high: string) =>
    policyOf(
      { price: type },
      tableDecision(
        'band',
        ['price'],
        [
          ['LOW', { price: low }, 'low'],
          ['HIGH', { price: high }, 'high'],
        ],
      ),
    );

  it('is one price: [0..100) and > 100 leave 100', () => {
    const gaps = findings(priced({ type: 'decimal', min: '0' }, '[0..100)', '> 100'), 'gap');
    expect(gaps).toMatchObject([{ region: [{ price: '100' }], example: { given: { price: '100' } } }]);
    expect(gaps[0]?.ready).toMatchObject({ given: { price: '100' }, expect: { 'no rule': ['band'] } });
  });

  it('is none between <= 7 and >= 8 for whole numbers and dates, and one for decimals', () => {
    expect(findings(priced({ type: 'integer' }, '<= 7', '>= 8'), 'gap')).toEqual([]);
    expect(findings(priced({ type: 'date' }, '<= @"2026-01-07"', '>= @"2026-01-08"'), 'gap')).toEqual([]);
    expect(findings(priced({ type: 'decimal' }, '<= 7', '>= 8'), 'gap')).toMatchObject([
      { region: [{ price: '(7..8)' }] },
    ]);
  });
});

/**
 * The facts of one table of the OMG's conformance models (dmn-tck/tck, compliance level 3, 0004-lending, "Pre-bureauRiskCategoryTable"):
 * for people who are no customers yet, bands of a score end with [120..130) and go on with > 130; the later copy in
 * 0087-chapter-11-example has [120..130]. Rebuilt as a table of our own with these ends.
 */
describe('bands of a risk score', () => {
  const bands = (last: string) =>
    policyOf(
      { customer: { type: 'boolean' }, score: { type: 'decimal' } },
      tableDecision(
        'risk',
        ['customer', 'score'],
        [
          ['N1', { customer: 'false', score: '< 100' }, 'high'],
          ['N2', { customer: 'false', score: '[100..120)' }, 'medium'],
          ['N3', { customer: 'false', score: last }, 'low'],
          ['N4', { customer: 'false', score: '> 130' }, 'very low'],
          ['C1', { customer: 'true', score: '< 80' }, 'decline'],
          ['C2', { customer: 'true', score: '[80..90)' }, 'high'],
          ['C3', { customer: 'true', score: '[90..110]' }, 'medium'],
          ['C4', { customer: 'true', score: '> 110' }, 'low'],
        ],
        { hit: 'unique' },
      ),
    );

  it('leave exactly the score 130 of people who are no customers', () => {
    const policy = bands('[120..130)');
    expect(findings(policy, 'gap')).toMatchObject([{ region: [{ customer: 'false', score: '130' }] }]);
    expect(findings(policy, 'overlap')).toEqual([]);
  });

  it('leave nothing once the last band is closed', () => {
    expect(analysePolicy(bands('[120..130]')).clean).toBe(true);
  });
});

/** As in the same model's "Routing rules" (priority, the last rule without conditions): rules overlap with the default, and nothing is left. */
describe('a table with priority and a rule without conditions', () => {
  const policy = policyOf(
    { covered: { type: 'boolean' }, score: { type: 'integer', min: 0 } },
    tableDecision(
      'routing',
      ['covered', 'score'],
      [
        ['R1', { covered: 'false' }, 'decline'],
        ['R2', { score: '< 580' }, 'refer'],
        ['R3', {}, 'accept'],
      ],
      { hit: 'priority', values: ['decline', 'refer', 'accept'] },
    ),
  );

  it('has no gap, nothing masked, and overlaps that the priority settles', () => {
    expect(findings(policy, 'gap')).toEqual([]);
    expect(findings(policy, 'masked')).toEqual([]);
    expect(findings(policy, 'overlap')).toMatchObject([{ severity: 'information' }]);
  });
});
