import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { modelOf, OPENER, OPEN_BAR, seededNumbers } from '../../../tests/support/evidence-models.js';
import type { EvidenceModel, Finding, FindingBar } from '../diagnosis.contract.js';
import type { Observations } from '../../inspections/inspections.contract.js';
import { compileModel } from './compile-model.js';
import { findings, posterior } from './findings.js';

function only(model: EvidenceModel, observations: Observations, bar: FindingBar = OPEN_BAR): Finding {
  const [first, ...rest] = findings(model, observations, bar);
  if (first === undefined || rest.length > 0) throw new Error('expected one finding');
  return first;
}

function probability(finding: Finding, id: string): number {
  return finding.explanations.find((one) => one.id === id)?.probability ?? Number.NaN;
}

/** Names of `count` widgets. */
const widgets = (count: number): string[] => Array.from({ length: count }, (_, i) => `widget-${i + 1}-bad`);

/**
 * E. T. Jaynes, Probability Theory: The Logic of Science (2003), chapter 4: widgets of a batch with 1/3 bad (A) or 1/6
 * bad (B), prior odds 1:10; hypothesis C is that the test itself is at fault, 99/100, prior 10⁻⁶. Rates and priors as in
 * the chapter; the posteriors to four places were worked out from them apart from this code.
 */
function jaynes(count: number, withThird: boolean): EvidenceModel {
  const third = withThird ? 1e-6 : 0;
  return modelOf({
    priors: { a: (1 - third) / 11, b: ((1 - third) * 10) / 11, ...(withThird ? { c: third } : {}) },
    likelihoods: Object.fromEntries(widgets(count).map((id) => [id, [1 / 3, 1 / 6, 0.99]])),
  });
}

describe('Jaynes, chapter 4', () => {
  it.each([
    [5, 0, 0.7619],
    [10, 0, 0.9903],
    [4, 3, 0.4503],
  ])('after %d bad and %d good widgets the batch with a third bad has probability %f', (bad, good, expected) => {
    const all = widgets(bad + good);
    const found = only(jaynes(bad + good, false), { present: all.slice(0, bad), absent: all.slice(bad) });
    expect(probability(found, 'a')).toBeCloseTo(expected, 4);
  });

  it.each([
    [5, [0.7604, 0.2376, 0.0019]],
    [10, [0.6261, 0.0061, 0.3678]],
    [15, [0.0073, 0, 0.9927]],
  ])('after %d bad widgets in a row the third hypothesis has risen', (bad, expected) => {
    const found = only(jaynes(bad, true), { present: widgets(bad), absent: [] });
    ['a', 'b', 'c'].forEach((id, i) => expect(probability(found, id)).toBeCloseTo(expected[i] ?? Number.NaN, 4));
  });

  it('lets the faulty test overtake in the ranking at 15', () => {
    expect(only(jaynes(10, true), { present: widgets(10), absent: [] }).explanations[0]?.id).toBe('a');
    expect(only(jaynes(15, true), { present: widgets(15), absent: [] }).explanations[0]?.id).toBe('c');
  });
});

describe('weight of evidence (I. J. Good, Probability and the Weighing of Evidence, 1950)', () => {
  it('is 3.0103 decibans for a bad widget and -0.9691 for a good one', () => {
    const model = jaynes(7, false);
    const found = only(model, { present: widgets(7).slice(0, 5), absent: widgets(7).slice(5) });
    // The leader is b or a; weights are told for the leader, so signs turn with it.
    const sign = found.explanations[0]?.id === 'a' ? 1 : -1;
    for (const one of found.evidence)
      expect(one.decibans * sign).toBeCloseTo(one.sighting === 'present' ? 3.0103 : -0.9691, 4);
  });

  it('adds up, prior included, to the final odds when there are two hypotheses', () => {
    const found = only(jaynes(10, false), { present: widgets(10), absent: [] });
    const sum = found.evidence.reduce((total, one) => total + one.decibans, -10);
    const p = probability(found, 'a');
    expect(sum).toBeCloseTo(10 * Math.log10(p / (1 - p)), 10);
    expect(sum).toBeCloseTo(20.103, 3);
  });
});

it('agrees with Manning, Raghavan and Schütze, Introduction to Information Retrieval (2008), example 13.1', () => {
  // One observation per word of the test document: the chance that a word drawn from a document of the class is this one.
  const model = modelOf({
    priors: { china: 3 / 4, other: 1 / 4 },
    likelihoods: {
      'chinese-1': [3 / 7, 2 / 9],
      'chinese-2': [3 / 7, 2 / 9],
      'chinese-3': [3 / 7, 2 / 9],
      tokyo: [1 / 14, 2 / 9],
      japan: [1 / 14, 2 / 9],
    },
  });
  const present = ['chinese-1', 'chinese-2', 'chinese-3', 'tokyo', 'japan'];
  expect(posterior(model, 'thing', { present, absent: [] }).get('china')).toBeCloseTo(0.69, 3);
});

it('does not underflow with 500 observations', () => {
  const ids = Array.from({ length: 500 }, (_, i) => `sign-${i}`);
  const model = modelOf({
    priors: { a: 1, b: 1 },
    likelihoods: Object.fromEntries(ids.map((id) => [id, [0.01, 0.02]])),
  });
  const found = only(model, { present: ids, absent: [] });
  expect(found.explanations[0]).toMatchObject({ id: 'b', probability: 1 });
  expect(found.explanations[1]?.probability).toBeLessThan(1e-100);
  expect(found.evidence).toHaveLength(500);
  for (const one of found.evidence) expect(one.decibans).toBeCloseTo(3.0103, 4);
  expect(found.surpriseTail).toBeGreaterThanOrEqual(0);
  expect(Number.isFinite(found.entropyBits)).toBe(true);
});

const LAMP = modelOf({
  priors: { dead: 1, sound: 3 },
  likelihoods: { dark: [0.9, 0.1], warm: [0.3, 0.6], dim: [0.8, 0.2] },
  groups: { dark: 'light', dim: 'light' },
});

describe('a sighting', () => {
  it('that was not made is neither present nor absent', () => {
    const open = { present: [OPENER], absent: [] };
    expect(probability(only(LAMP, open), 'dead')).toBeCloseTo(0.25, 12);
    const absent = probability(only(LAMP, { ...open, absent: ['warm'] }), 'dead');
    // By hand: 0.25·0.7 / (0.25·0.7 + 0.75·0.4).
    expect(absent).toBeCloseTo(0.175 / 0.475, 12);
    expect(only(LAMP, open).notChecked).toEqual(['dark', 'warm', 'dim']);
  });

  it('cannot be both', () => {
    expect(() => findings(LAMP, { present: ['warm'], absent: ['warm'] }, OPEN_BAR)).toThrow(/present and as absent/);
  });

  it('of a code that the model does not know is left aside', () => {
    expect(findings(LAMP, { present: ['dark', 'unheard-of'], absent: [] }, OPEN_BAR)).toEqual(
      findings(LAMP, { present: ['dark'], absent: [] }, OPEN_BAR),
    );
  });

  it('opens a finding only when it is present and named by the subject', () => {
    expect(findings(LAMP, { present: [], absent: ['dark', 'warm', OPENER] }, OPEN_BAR)).toEqual([]);
  });
});

describe('a group', () => {
  it('counts its strongest member only, and says so', () => {
    const found = only(LAMP, { present: ['dark', 'dim'], absent: [] });
    expect(probability(found, 'dead')).toBeCloseTo((0.25 * 0.9) / (0.25 * 0.9 + 0.75 * 0.1), 12);
    expect(found.evidence.map((one) => [one.observation, one.counted])).toEqual([
      ['dark', true],
      ['dim', false],
    ]);
    expect(found.evidence[1]?.decibans).toBe(0);
  });

  it('measures strength by what was seen, so that a weak sign seen can give way to a strong sign missing', () => {
    // Present: dim 10·log10(0.8/0.2) = 6.02; absent: dark 10·log10(0.9/0.1) = 9.54.
    const found = only(LAMP, { present: ['dim'], absent: ['dark'] });
    expect(found.evidence.filter((one) => one.counted).map((one) => one.observation)).toEqual(['dark']);
  });

  it('settles ties by id', () => {
    const twins = modelOf({
      priors: { x: 1, y: 1 },
      likelihoods: { zeta: [0.8, 0.2], alpha: [0.8, 0.2] },
      groups: { zeta: 'g', alpha: 'g' },
    });
    const found = only(twins, { present: ['zeta', 'alpha'], absent: [] });
    expect(found.evidence.filter((one) => one.counted).map((one) => one.observation)).toEqual(['alpha']);
  });
});

describe('the verdict', () => {
  const bar: FindingBar = { probability: 0.7, marginDecibans: 3, surprise: 0.05, worthBits: 0 };

  it('is settled with no reasons above the bar', () => {
    const found = only(LAMP, { present: ['dark'], absent: ['warm'] }, bar);
    expect([found.verdict, found.reasons]).toEqual(['settled', []]);
  });

  it('goes to a person where the best explanation is too weak or the next too near, and says by how much', () => {
    // By hand: dead 0.225, sound 0.075·… with dark alone: 0.225 / 0.3 = 0.75, margin 10·log10(3) = 4.77.
    const strict = { ...bar, probability: 0.8, marginDecibans: 5 };
    const found = only(LAMP, { present: ['dark'], absent: [] }, strict);
    expect(found.verdict).toBe('to a person');
    expect(found.reasons).toHaveLength(2);
    expect(found.reasons[0]).toContain('has a probability of 0.75; the bar is 0.8');
    expect(found.reasons[1]).toContain('only 4.77 decibans ahead');
  });

  it('goes to a person where every explanation fits badly', () => {
    const odd = modelOf({
      priors: { x: 1, y: 1 },
      likelihoods: { p: [0.02, 0.01], q: [0.05, 0.01], r: [0.04, 0.01] },
    });
    const found = only(odd, { present: ['p', 'q', 'r'], absent: [] }, bar);
    // Nothing is less likely under x than all three at once: 0.02 · 0.05 · 0.04.
    expect(found.surpriseTail).toBeCloseTo(0.00004, 12);
    expect(found.reasons).toEqual([expect.stringContaining('fits even the best explanation badly')]);
  });
});

it('gives marginals that add up over components and origins', () => {
  const base = modelOf({ priors: { a: 2, b: 1, c: 1 }, likelihoods: { s: [0.2, 0.7, 0.6] } });
  const changed = base.explanations.map((one) =>
    one.id === 'a' ? one : { ...one, component: 'electronics' as const, origin: 'transit' as const },
  );
  const found = only({ ...base, explanations: changed }, { present: ['s'], absent: [] });
  // By hand: a 0.4, b 0.7, c 0.6 of 1.7.
  expect(found.components).toEqual([
    { component: 'electronics', probability: expect.closeTo(1.3 / 1.7, 12) as number },
    { component: 'motor', probability: expect.closeTo(0.4 / 1.7, 12) as number },
  ]);
  expect(found.origins.map((one) => one.origin)).toEqual(['transit', 'manufacture']);
});

it('gives no probability above 1, however the sums are rounded', () => {
  const names = Array.from({ length: 30 }, (_, i) => `e${i}`);
  let raw = 0;
  for (let seed = 1; seed <= 100; seed += 1) {
    const next = seededNumbers(seed);
    const likelihoods = { s: names.map(() => 0.05 + next() * 0.9), t: names.map(() => 0.05 + next() * 0.9) };
    const priors = Object.fromEntries(names.map((name) => [name, 0.1 + next()]));
    const found = only(modelOf({ priors, likelihoods }), { present: ['s'], absent: ['t'] });
    raw = Math.max(
      raw,
      found.explanations.reduce((sum, one) => sum + one.probability, 0),
    );
    const shares = [...found.components, ...found.origins, ...found.explanations].map((one) => one.probability);
    expect(Math.max(...shares), `seed ${seed}`).toBeLessThanOrEqual(1);
  }
  // All are of one component, so its plain sum is above 1 in some of these cases.
  expect(raw).toBeGreaterThan(1);
});

it('does not care about the order of observations, nor whether the model was compiled before', () => {
  const ids = ['s1', 's2', 's3', 's4', 's5'];
  const model = modelOf({
    priors: { a: 3, b: 2, c: 1 },
    likelihoods: Object.fromEntries(ids.map((id, i) => [id, [0.1 + i * 0.15, 0.5, 0.8 - i * 0.12]])),
    groups: { s1: 'g', s4: 'g' },
  });
  const ready = compileModel(model);
  const straight = findings(model, { present: ids.slice(0, 3), absent: ids.slice(3) }, OPEN_BAR);
  fc.assert(
    fc.property(
      fc.shuffledSubarray(ids.slice(0, 3), { minLength: 3 }),
      fc.shuffledSubarray(ids.slice(3), { minLength: 2 }),
      (present, absent) => {
        expect(findings(ready, { present, absent }, OPEN_BAR)).toEqual(straight);
      },
    ),
  );
});
