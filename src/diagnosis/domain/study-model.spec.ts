import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { modelOf, OPEN_BAR, OPENER } from '../../../tests/support/evidence-models.js';
import { projectRoot } from '../../platform/config/project-root.js';
import type { EvidenceModel } from '../diagnosis.contract.js';
import { findings } from './findings.js';
import { modelDifference } from './model-difference.js';
import { nextChecks } from './next-checks.js';
import { signWeights, studyModel } from './study-model.js';

const SHIPPED = ['bed-base', 'lift-chair', 'standing-desk'].map(
  (id) => JSON.parse(readFileSync(join(projectRoot(), `src/diagnosis/shipped/${id}.1.json`), 'utf8')) as EvidenceModel,
);
const TWO = modelOf({ priors: { dead: 3, loose: 1 }, likelihoods: { dark: [0.9, 0.25], same: [0.4, 0.4] } });

describe('what a sign says by itself', () => {
  it('is 10·log10 of the likelihood ratio where there are two explanations, worked by hand', () => {
    const [dead, loose] = signWeights(TWO, 'thing', 'dark');
    expect(dead).toMatchObject({ chance: 0.9, share: 0.75 });
    // 10·log10(0.9 / 0.25) = 5.563 and 10·log10(0.1 / 0.75) = -8.751.
    expect(dead?.present).toBeCloseTo(5.563, 3);
    expect(dead?.absent).toBeCloseTo(-8.751, 3);
    expect(loose?.present).toBeCloseTo(-5.563, 3);
    expect(signWeights(TWO, 'thing', 'nothing')).toEqual([]);
    expect(() => signWeights(TWO, 'nowhere', 'dark')).toThrow(RangeError);
  });

  it.each(SHIPPED.map((model) => [model.id, model] as const))(
    'is what the finding gives it where nothing else was seen: %s',
    (_, model) => {
      let compared = 0;
      for (const { id, opensOn } of model.subjects)
        for (const opener of opensOn) {
          const finding = findings(model, { present: [opener], absent: [] }, OPEN_BAR).find(
            ({ subject }) => subject === id,
          );
          const weight = signWeights(model, id, opener).find(
            ({ explanation }) => explanation.id === finding?.explanations[0]?.id,
          );
          expect(weight?.present).toBeCloseTo(finding?.evidence[0]?.decibans ?? Number.NaN, 9);
          compared += 1;
        }
      expect(compared).toBeGreaterThan(30);
    },
  );
});

describe('a model without a claim', () => {
  it('tells a pair apart by the discrimination information of its signs, worked by hand', () => {
    const [study] = studyModel(TWO);
    // Kullback and Leibler 1951: 0.9·log10(0.9/0.25) + 0.1·log10(0.1/0.75) = 0.41318, and the other way 0.25·log10(0.25/0.9) +
    // 0.75·log10(0.75/0.1) = 0.51722; the sign that is the same under both adds nothing.
    expect(study?.pairs).toHaveLength(1);
    expect(study?.pairs[0]?.decibans).toBeCloseTo(4.132, 3);
    expect(study?.pairs[0]?.bestSign).toBe('dark');
    // Entropy of 3/4 and 1/4 (Shannon 1948): 0.8113 bits.
    expect(study?.entropyBits).toBeCloseTo(0.8113, 4);
  });

  it('counts of a group only the sign that says most', () => {
    const likelihoods = { dark: [0.9, 0.25], dim: [0.9, 0.25] };
    const apart = (groups: Readonly<Record<string, string>>): number =>
      studyModel(modelOf({ priors: { dead: 1, loose: 1 }, likelihoods, groups }))[0]?.pairs[0]?.decibans ?? Number.NaN;
    expect(apart({ dark: 'light', dim: 'light' })).toBeCloseTo(4.132, 3);
    expect(apart({})).toBeCloseTo(2 * 4.132, 2);
  });

  it('gives a sign the bits that the next check would expect of it', () => {
    for (const model of [TWO, ...SHIPPED]) {
      // A sign that says nothing opens every finding, so that the next check begins at the priors.
      const opener = { id: 'opener', says: 'x', check: { en: 'x' }, item: 'x', effortSeconds: 1, grounds: 'x' };
      const otherwise = Object.fromEntries(model.subjects.map(({ id }) => [id, 0.5]));
      const opened: EvidenceModel = {
        ...model,
        subjects: model.subjects.map((one) => ({ ...one, opensOn: ['opener'] })),
        observations: [...model.observations, { ...opener, likelihoods: {}, otherwise }],
      };
      const expected = nextChecks(opened, { present: ['opener'], absent: [] }, OPEN_BAR);
      expect(expected.length).toBeGreaterThan(0);
      const studied = studyModel(model);
      for (const { subject, observation, expectedBits } of expected) {
        const signs = studied.find((one) => one.subject === subject)?.signs ?? [];
        expect(signs.find((one) => one.observation === observation)?.expectedBits).toBeCloseTo(expectedBits, 9);
      }
    }
  });

  it('gives nothing to a sign that is the same under every explanation', () => {
    const same = studyModel(TWO)[0]?.signs.filter(({ observation }) => ['same', OPENER].includes(observation));
    expect(same).toHaveLength(2);
    for (const { expectedBits, mostDecibans } of same ?? []) {
      expect(expectedBits).toBeCloseTo(0, 12);
      expect(mostDecibans).toBeCloseTo(0, 12);
    }
  });
});

describe('the difference of two versions', () => {
  it('names every number and word that changed, and nothing that only moved', () => {
    const [explanation, ...others] = TWO.explanations;
    const [opener, dark, same] = TWO.observations;
    if (!explanation || !opener || !dark || !same) throw new Error('the small model has lost a part');
    const changed: EvidenceModel = {
      ...TWO,
      version: 2,
      basis: 'learnt',
      explanations: [...others, { ...explanation, prior: 4 }],
      observations: [opener, { ...dark, likelihoods: { dead: 0.8 }, group: 'light' }, { ...same, id: 'fresh' }],
    };
    expect(modelDifference(TWO, changed)).toEqual([
      { kind: 'changed', of: 'model', id: '', member: 'basis', was: 'made up for a test', is: 'learnt' },
      { kind: 'changed', of: 'explanation', id: 'dead', member: 'prior', was: 3, is: 4 },
      { kind: 'changed', of: 'observation', id: 'dark', member: 'likelihoods.dead', was: 0.9, is: 0.8 },
      { kind: 'removed', of: 'observation', id: 'dark', member: 'likelihoods.loose', was: 0.25 },
      { kind: 'added', of: 'observation', id: 'dark', member: 'group', is: 'light' },
      { kind: 'added', of: 'observation', id: 'fresh', member: '' },
      { kind: 'removed', of: 'observation', id: 'same', member: '' },
    ]);
    expect(modelDifference(TWO, { ...TWO, version: 9 })).toEqual([]);
  });
});
