import { describe, expect, it } from 'vitest';
import { modelOf, OPENER, seededNumbers } from '../../../tests/support/evidence-models.js';
import { aLesson, drawnLessons } from '../../../tests/support/lessons.js';
import type { EvidenceModel, FindingBar } from '../diagnosis.contract.js';
import type { Lesson } from '../learning.contract.js';
import { compareModels } from './compare-models.js';
import { learnModel } from './learn-model.js';
import { reportOn } from './model-report.js';

/** Three to one before anything is seen; the sign turns it: 0.75·0.2 to 0.25·0.9, so 0.4 to 0.6. */
const MODEL: EvidenceModel = (() => {
  const plain = modelOf({ priors: { made: 3, dropped: 1 }, likelihoods: { sign: [0.2, 0.9] } });
  const explanations = plain.explanations.map((one) =>
    one.id === 'made' ? one : { ...one, component: 'frame' as const, origin: 'transit' as const },
  );
  return { ...plain, explanations };
})();
const BAR: FindingBar = { probability: 0.7, marginDecibans: 0, surprise: 0, worthBits: 0 };

const plainCase = (id: string, changes: Partial<Lesson> = {}): Lesson =>
  aLesson({ present: [OPENER], explanations: { thing: id }, ...changes });
const signCase = (id: string): Lesson => aLesson({ present: [OPENER, 'sign'], explanations: { thing: id } });

describe('the report', () => {
  it('scores what was proposed against what was settled, worked by hand', async () => {
    const report = await reportOn(
      [MODEL],
      [plainCase('made'), plainCase('made', { named: true }), plainCase('dropped'), signCase('dropped')],
      BAR,
    );
    const { all } = report;
    expect(all.cases).toBe(4);
    expect(all.accuracy).toMatchObject({ count: 3, of: 4, share: 0.75 });
    // Without the sign 0.75: (0.25² + 0.25²) twice and (0.75² + 0.75²) once; with it 0.6: (0.4² + 0.4²).
    expect(all.brier?.allExplanations).toBeCloseTo((0.125 * 2 + 1.125 + 0.32) / 4, 12);
    expect(all.brier?.leadingExplanation).toBeCloseTo((0.0625 * 2 + 0.5625 + 0.16) / 4, 12);
    expect(all.parts?.withinBins).toBeCloseTo(0, 12);
    expect(all.reliability.map(({ cases, meanForecast }) => [cases, Number(meanForecast.toFixed(9))])).toEqual([
      [1, 0.6],
      [3, 0.75],
    ]);
    const at = (labels: readonly string[], label: string): number => labels.indexOf(label);
    const { labels, counts } = all.components;
    expect(counts[at(labels, 'frame')]?.[at(labels, 'motor')]).toBe(1);
    expect(counts[at(labels, 'motor')]?.[at(labels, 'motor')]).toBe(2);
    expect(counts.flat().reduce((sum, one) => sum + one, 0)).toBe(4);
    expect(all.origins.counts.flat().reduce((sum, one) => sum + one, 0)).toBe(4);
    // Agreement 3/4; by chance 2/4·3/4 + 2/4·1/4 = 1/2.
    expect(all.kappa.components?.kappa).toBeCloseTo(0.5, 12);
    expect(all.abstention?.toAPerson).toMatchObject({ count: 1, of: 4 });
    expect(all.abstention?.rightWhenSettled).toMatchObject({ count: 2, of: 3 });
    expect(report.named.cases).toBe(1);
    expect(report.families).toMatchObject([{ family: 'lift chair', scores: { cases: 4 } }]);
  });

  it('says nothing, not NaN, where nothing can be said', async () => {
    const empty = await reportOn([MODEL], []);
    expect(empty.all).toMatchObject({ accuracy: null, brier: null, parts: null, abstention: null, reliability: [] });
    const alike = await reportOn([MODEL], [plainCase('made'), plainCase('made')]);
    expect(alike.all.kappa).toEqual({ explanations: null, components: null, origins: null });
    expect(alike.all.abstention).toBeNull();
    expect(JSON.stringify([empty, alike])).not.toContain('NaN');
  });

  it('keeps families apart, and tallies what it cannot score', async () => {
    const other: EvidenceModel = { ...MODEL, id: 'other', family: 'powered bed base' };
    const report = await reportOn(
      [MODEL, other],
      [
        plainCase('made'),
        { ...plainCase('dropped'), model: 'other' },
        plainCase('haunted'),
        aLesson({ explanations: { thing: 'made' } }),
        aLesson({ model: 'third', explanations: { thing: 'made' } }),
      ],
    );
    expect(report.families.map(({ family, scores }) => [family, scores.cases, scores.accuracy?.share])).toEqual([
      ['lift chair', 1, 1],
      ['powered bed base', 1, 0],
    ]);
    expect(report.lessons).toMatchObject({ read: 5, used: 2, otherModels: 1, unknownExplanations: 1, notOpened: 1 });
    await expect(reportOn([MODEL, MODEL], [])).rejects.toThrow(RangeError);
  });

  it('finds a model that made the claims calibrated: observed within the interval of nearly every bin', async () => {
    const table = {
      priors: { a: 5, b: 3, c: 2 },
      likelihoods: { s: [0.8, 0.3, 0.2], t: [0.3, 0.7, 0.4], u: [0.1, 0.4, 0.9] },
    };
    const truth = modelOf(table);
    const opened = drawnLessons(truth, 'thing', 4000, seededNumbers(3));
    const { all } = await reportOn([truth], opened);
    const within = all.reliability.filter(
      ({ meanForecast, cameTrue }) => cameTrue.low - 0.02 <= meanForecast && meanForecast <= cameTrue.high + 0.02,
    );
    expect(within).toHaveLength(all.reliability.length);
    expect(all.parts?.reliability).toBeLessThan(0.001);
    expect(all.parts?.resolution).toBeGreaterThan(0.01);
  });
});

describe('champion against challenger', () => {
  const worse = modelOf({ priors: { made: 1, dropped: 3 }, likelihoods: { sign: [0.2, 0.9] } });

  it('counts on the same cases who alone was right', async () => {
    const lessons = [
      ...Array.from({ length: 5 }, () => plainCase('made')),
      plainCase('dropped'),
      signCase('dropped'),
      aLesson({ model: 'other', explanations: { thing: 'made' } }),
    ];
    const found = await compareModels(MODEL, worse, lessons, BAR);
    expect(found).toMatchObject({
      cases: 7,
      bothRight: 1,
      onlyChampionRight: 5,
      onlyChallengerRight: 1,
      bothWrong: 0,
    });
    // By hand: 2·(1 + 6) / 64.
    expect(found.mcnemarP).toBeCloseTo(14 / 64, 12);
    expect([found.champion.all.cases, found.challenger.all.cases]).toEqual([7, 7]);
    expect(found.champion.lessons.otherModels).toBe(1);
  });

  it('leaves out of both what only one of them knows', async () => {
    const wider = modelOf({ priors: { made: 1, dropped: 3, soaked: 1 }, likelihoods: { sign: [0.2, 0.9, 0.5] } });
    const found = await compareModels(MODEL, wider, [plainCase('soaked'), plainCase('made')]);
    expect([found.cases, found.champion.all.cases, found.challenger.all.cases]).toEqual([1, 1, 1]);
  });

  it('prefers what was learnt from earlier claims, on later claims of the same kind', async () => {
    const truth = modelOf({
      priors: { a: 6, b: 2, c: 2 },
      likelihoods: { s: [0.9, 0.2, 0.4], t: [0.2, 0.85, 0.3], u: [0.3, 0.3, 0.9] },
    });
    const guess = modelOf({
      priors: { a: 1, b: 6, c: 3 },
      likelihoods: { s: [0.6, 0.5, 0.4], t: [0.4, 0.5, 0.6], u: [0.3, 0.6, 0.5] },
    });
    const learnt = await learnModel(guess, drawnLessons(truth, 'thing', 1000, seededNumbers(1)), {
      priorClaims: 20,
      likelihoodClaims: 20,
      statedOn: '2026-04-01',
    });
    if (!learnt.ok) throw new Error('not learnt');
    const later = drawnLessons(truth, 'thing', 1000, seededNumbers(2));
    const found = await compareModels(guess, learnt.value.model, later);
    expect(found.onlyChallengerRight).toBeGreaterThan(found.onlyChampionRight);
    expect(found.mcnemarP).toBeLessThan(0.001);
    expect(found.challenger.all.brier?.allExplanations).toBeLessThan(found.champion.all.brier?.allExplanations ?? 0);
  });

  it('is not made of two different models', async () => {
    await expect(compareModels(MODEL, { ...worse, id: 'other' }, [])).rejects.toThrow('no versions of one');
  });
});
