import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { modelOf, OPENER, seededNumbers } from '../../../tests/support/evidence-models.js';
import { aLesson, drawnLessons } from '../../../tests/support/lessons.js';
import type { EvidenceModel } from '../diagnosis.contract.js';
import type { LearningStrength, Lesson } from '../learning.contract.js';
import { checkEvidenceModel } from './check-evidence-model.js';
import { likelihood } from './compile-model.js';
import { learnModel, type LearntDraft } from './learn-model.js';
import { readLesson } from './read-lesson.js';

const STRENGTH: LearningStrength = { priorClaims: 10, likelihoodClaims: 8, statedOn: '2026-04-01' };
const MODEL = modelOf({ priors: { dead: 3, loose: 1 }, likelihoods: { dark: [0.9, 0.25], warm: [0.1, 0.6] } });

async function learnt(
  lessons: Iterable<Lesson>,
  model: EvidenceModel = MODEL,
  strength: LearningStrength = STRENGTH,
): Promise<LearntDraft> {
  const outcome = await learnModel(model, lessons, strength);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.faults));
  return outcome.value;
}

const settledOn = (id: string, present: readonly string[], absent: readonly string[]): Lesson =>
  aLesson({ present, absent, explanations: { thing: id } });
const prior = (model: EvidenceModel, id: string): number =>
  model.explanations.find((one) => one.id === id)?.prior ?? Number.NaN;
const chance = (model: EvidenceModel, observation: string, explanation: string): number => {
  const row = model.observations.find((one) => one.id === observation);
  const column = model.explanations.find((one) => one.id === explanation);
  return row === undefined || column === undefined ? Number.NaN : likelihood(row, column);
};

describe('learning', () => {
  it('adds the counts to what the model counts as, worked by hand', async () => {
    const { model, tally } = await learnt([
      settledOn('loose', ['dark', OPENER], ['warm']),
      settledOn('loose', ['warm', OPENER], []),
      settledOn('dead', ['dark', OPENER], ['warm']),
    ]);
    // Dirichlet: (10·3/4 + 1) / 13 and (10·1/4 + 2) / 13 of the weights' sum 4. The conjugate rule: Gelman, Bayesian Data Analysis,
    // section 3.4 (from memory).
    expect(prior(model, 'dead')).toBeCloseTo((4 * 8.5) / 13, 5);
    expect(prior(model, 'loose')).toBeCloseTo((4 * 4.5) / 13, 5);
    // Beta: (8·0.25 + 1) / (8 + 1) for dark under loose, checked once; (8·0.6 + 1) / (8 + 2) for warm, checked twice.
    expect(chance(model, 'dark', 'loose')).toBeCloseTo(3 / 9, 5);
    expect(chance(model, 'warm', 'loose')).toBeCloseTo(0.58, 6);
    expect(chance(model, 'warm', 'dead')).toBeCloseTo(0.8 / 9, 5);
    expect(tally).toEqual({ read: 3, used: 3, named: 0, otherModels: 0, unknownExplanations: 0 });
  });

  it('is the rule of succession where the model says nothing (Laplace: (s + 1) / (n + 2))', async () => {
    const even = modelOf({ priors: { a: 1, b: 1 }, likelihoods: { s: [0.5, 0.5], t: [0.2, 0.8] } });
    const lessons = [...Array.from({ length: 4 }, () => settledOn('a', ['s'], [])), settledOn('a', [], ['s'])];
    const { model } = await learnt(lessons, even, { ...STRENGTH, likelihoodClaims: 2 });
    expect(chance(model, 's', 'a')).toBeCloseTo(5 / 7, 5);
  });

  it('writes the next version, with the old number and the claims beside each new one', async () => {
    const { model, changes } = await learnt([settledOn('loose', ['dark'], [])]);
    expect(model.version).toBe(2);
    expect(model.basis).toContain('learnt from 1 decided claims');
    expect(model.basis).toContain('as stated on 2026-04-01');
    const loose = model.explanations.find((one) => one.id === 'loose');
    expect(loose).toMatchObject({
      learnt: { was: 1, claims: 1 },
      grounds: 'Learnt from 1 decided claims, was 1. made up',
    });
    const dark = model.observations.find((one) => one.id === 'dark');
    expect(dark?.learnt).toEqual({ loose: { was: 0.25, claims: 1, times: 1 } });
    expect(dark?.grounds).toMatch(/^Learnt from 1 decided claims; .* made up$/);
    expect(changes.map(({ at }) => at)).toEqual([
      '#/explanations/0/prior',
      '#/explanations/1/prior',
      '#/observations/1/likelihoods/loose',
    ]);
    // Untouched rows are the very same, grounds included.
    expect(model.observations[2]).toBe(MODEL.observations[2]);
  });

  it('says what was learnt last, once, when it learns again', async () => {
    const once = await learnt([settledOn('loose', ['dark'], [])]);
    const twice = await learnt([settledOn('loose', ['dark'], []), settledOn('dead', [], ['dark'])], once.model);
    const grounds = twice.model.explanations.map((one) => one.grounds);
    expect(grounds).toEqual([
      `Learnt from 2 decided claims, was ${prior(once.model, 'dead')}. made up`,
      `Learnt from 2 decided claims, was ${prior(once.model, 'loose')}. made up`,
    ]);
  });

  it('changes nothing without lessons', async () => {
    const { model, changes } = await learnt([]);
    expect(model).toEqual({ ...MODEL, version: 2 });
    expect(changes).toEqual([]);
  });

  it('takes what was not checked as nothing, and never as absent', async () => {
    const { model } = await learnt(Array.from({ length: 6 }, () => settledOn('loose', ['dark'], [])));
    expect(chance(model, 'warm', 'loose')).toBe(0.6);
  });

  it('lists a likelihood of its own for an explanation that was only among the rest', async () => {
    const table = modelOf({ priors: { a: 1, b: 1 }, likelihoods: { s: [0.3, 0.7] } });
    const sparse: EvidenceModel = {
      ...table,
      observations: table.observations.map((one) =>
        one.id === 's' ? { ...one, likelihoods: { a: 0.3 }, otherwise: { thing: 0.7 } } : one,
      ),
    };
    const { model } = await learnt([settledOn('b', ['s'], [])], sparse);
    expect(model.observations[1]?.likelihoods).toEqual({ a: 0.3, b: Number(((8 * 0.7 + 1) / 9).toPrecision(6)) });
    expect(model.observations[1]?.otherwise).toEqual({ thing: 0.7 });
  });

  it('never reaches 0 or 1, however many claims agree', async () => {
    function* many(): Generator<Lesson> {
      for (let n = 0; n < 200_000; n += 1) yield settledOn('dead', ['dark'], ['warm']);
      yield settledOn('loose', [], ['dark']);
    }
    const weak = { ...STRENGTH, priorClaims: 0.001, likelihoodClaims: 0.001 };
    const { model } = await learnt(many(), MODEL, weak);
    expect(chance(model, 'dark', 'dead')).toBe(1 - 1e-6);
    expect(chance(model, 'warm', 'dead')).toBe(1e-6);
    expect(checkEvidenceModel(model).ok).toBe(true);
  });

  it('refuses in words a draft in which an explanation could no longer come ahead', async () => {
    const close = modelOf({ priors: { a: 1, b: 1 }, likelihoods: { s: [0.55, 0.45] } });
    const lessons = Array.from({ length: 400 }, (_, n) =>
      n % 2 === 0 ? settledOn('a', ['s'], []) : settledOn('a', [], ['s']),
    );
    const outcome = await learnModel(close, lessons, STRENGTH);
    expect(outcome.ok ? [] : outcome.faults.map(({ detail }) => detail)).toEqual([
      expect.stringContaining('No evidence could bring "b" ahead of "a"'),
    ]);
  });

  it('tallies what it cannot use', async () => {
    const { tally, changes } = await learnt([
      aLesson({ model: 'bed-base', explanations: { thing: 'dead' } }),
      aLesson({ explanations: { thing: 'haunted' } }),
      aLesson({ explanations: { cellar: 'dead' } }),
    ]);
    expect(tally).toEqual({ read: 3, used: 0, named: 0, otherModels: 1, unknownExplanations: 2 });
    expect(changes).toEqual([]);
  });

  it('refuses a strength that is not above 0', async () => {
    const outcome = await learnModel(MODEL, [], {
      priorClaims: 0,
      likelihoodClaims: Number.NaN,
      statedOn: '2026-04-01',
    });
    expect(outcome.ok ? [] : outcome.faults.map((fault) => fault.pointer)).toEqual([
      '#/priorClaims',
      '#/likelihoodClaims',
    ]);
  });

  it('does not care about the order of lessons', async () => {
    const lessons = [...drawnLessons(MODEL, 'thing', 40, seededNumbers(5))];
    const straight = await learnt(lessons);
    await fc.assert(
      fc.asyncProperty(fc.shuffledSubarray(lessons, { minLength: lessons.length }), async (shuffled) => {
        expect(await learnt(shuffled)).toEqual(straight);
      }),
      { numRuns: 40 },
    );
  });

  it.each([1, 2, 3, 4, 5])('moves towards the model that the claims were drawn from, seed %i', async (seed) => {
    const next = seededNumbers(seed * 101);
    const names = ['a', 'b', 'c', 'd'];
    const signs = ['s1', 's2', 's3', 's4', 's5', 's6'];
    const table = () => ({
      priors: Object.fromEntries(names.map((name) => [name, 0.2 + next()])),
      likelihoods: Object.fromEntries(signs.map((sign) => [sign, names.map(() => 0.03 + next() * 0.94)])),
    });
    const [truth, start] = [modelOf(table()), modelOf(table())];
    const distance = (model: EvidenceModel): number => {
      const share = (of: EvidenceModel, name: string): number =>
        prior(of, name) / of.explanations.reduce((sum, one) => sum + one.prior, 0);
      const priors = names.map((name) => Math.abs(share(model, name) - share(truth, name)));
      const chances = names.flatMap((name) =>
        signs.map((sign) => Math.abs(chance(model, sign, name) - chance(truth, sign, name))),
      );
      return [...priors, ...chances].reduce((sum, one) => sum + one, 0);
    };
    const distances = [distance(start)];
    for (const count of [50, 500, 5000]) {
      const { model } = await learnt(drawnLessons(truth, 'thing', count, seededNumbers(seed)), start);
      distances.push(distance(model));
    }
    expect(distances).toEqual([...distances].sort((a, b) => b - a));
    expect(distances[3]).toBeLessThan((distances[0] ?? 0) / 8);
  });
});

describe('a lesson read from JSON', () => {
  const { named: _, ...plain } = settledOn('dead', ['dark'], ['warm']);

  it('is not named unless it says so', () => {
    expect(readLesson(plain)).toEqual({ ok: true, value: { ...plain, named: false } });
  });

  it.each([
    [{ ...plain, absent: ['dark'] }, '#/absent/0'],
    [{ ...plain, explanations: {} }, '#/explanations'],
    [{ ...plain, decidedOn: '31.3.2026' }, '#/decidedOn'],
    [{ ...plain, decidedOn: '2026-02-29' }, '#/decidedOn'],
    [{ ...plain, verdict: 'x' }, '#/verdict'],
    [null, '#'],
  ])('%j is refused at %s', (json, at) => {
    const outcome = readLesson(json);
    expect(outcome.ok ? [] : outcome.faults.map((fault) => fault.pointer)).toContain(at);
  });
});
