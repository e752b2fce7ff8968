import { describe, expect, it } from 'vitest';
import { modelOf } from '../../../../tests/support/evidence-models.js';
import { modelDifference } from '../../../diagnosis/study.contract.js';
import type { EvidenceModel } from '../../../diagnosis/diagnosis.contract.js';
import { onTop } from './merge-models.js';
import { changeExplanation, changeObservation, removeObservation, setLikelihood } from './model-edits.js';

const BASE = modelOf({
  priors: { dead: 3, loose: 1, bent: 2 },
  likelihoods: { dark: [0.9, 0.25, 0.1], warm: [0.1, 0.6, 0.2], loud: [0.3, 0.4, 0.5] },
});

describe('changes of two people', () => {
  it('stand side by side where they are about different things', () => {
    const mine = changeExplanation('dead', { prior: 5 })(BASE);
    const theirs = setLikelihood('warm', 'loose', 0.7)(BASE) as EvidenceModel;
    expect(modelDifference(BASE, onTop(BASE, mine, theirs) as EvidenceModel)).toMatchObject([
      { id: 'dead', member: 'prior', is: 5 },
      { id: 'warm', member: 'likelihoods.loose', is: 0.7 },
    ]);
  });

  it('are taken as they were typed here where both changed the same thing', () => {
    const mine = changeExplanation('dead', { prior: 'five' })(BASE);
    const theirs = changeExplanation('dead', { prior: 7 })(BASE) as EvidenceModel;
    expect(onTop(BASE, mine, theirs).explanations[0]?.prior).toBe('five');
  });

  it('keep what either added or took out', () => {
    const [sign] = BASE.observations;
    if (sign === undefined) throw new Error('the model has no sign');
    const mine = removeObservation('dark')({ ...BASE, observations: [...BASE.observations, { ...sign, id: 'mine' }] });
    const theirs = removeObservation('loud')({
      ...BASE,
      observations: [...BASE.observations, { ...sign, id: 'theirs' }],
    }) as EvidenceModel;
    const ids = onTop(BASE, mine, theirs).observations.map(({ id }) => id);
    expect(ids).toEqual([sign.id, 'warm', 'theirs', 'mine']);
  });

  it('change nothing where one of them did nothing', () => {
    const mine = changeObservation('warm', { says: 'it is warm' })(BASE);
    expect(onTop(BASE, mine, BASE)).toEqual(mine);
    expect(onTop(BASE, BASE, mine as EvidenceModel)).toEqual(mine);
  });
});
