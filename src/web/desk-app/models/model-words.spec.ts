import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { modelOf, OPENER } from '../../../../tests/support/evidence-models.js';
import type { EvidenceModel } from '../../../diagnosis/diagnosis.contract.js';
import { shareOf } from '../../../diagnosis/learning.contract.js';
import { modelDifference, studyModel } from '../../../diagnosis/study.contract.js';
import { projectRoot } from '../../../platform/config/project-root.js';
import { changeWords } from './change-words.js';
import { faultPlace } from './fault-words.js';
import { idleSigns } from './idle-signs.js';
import {
  changeExplanation,
  removeObservation,
  setLikelihood,
  setOpens,
  setOtherwise,
  type Edit,
} from './model-edits.js';
import { showInterval } from './report-words.js';
import { matches } from './sign-list.js';

const BED = JSON.parse(
  readFileSync(join(projectRoot(), 'src/diagnosis/shipped/bed-base.1.json'), 'utf8'),
) as EvidenceModel;

function words(edit: Edit): { thing: string; member: string }[] {
  const after = edit(BED) as EvidenceModel;
  return modelDifference(BED, after).map((change) => changeWords(change, BED, after));
}

describe('a change in words', () => {
  it('names the thing and the number as people call them', () => {
    expect(words(changeExplanation('motor-seized', { prior: 9 }))).toEqual([
      { thing: 'motor seized from the line', member: 'prior' },
    ]);
    expect(words(setLikelihood('motor-hums', 'motor-seized', 0.5))).toEqual([
      { thing: 'it hums without moving', member: 'chance if “motor seized from the line”' },
    ]);
    expect(words(setOtherwise('motor-hums', 'drive', 0.5))).toEqual([
      { thing: 'it hums without moving', member: 'chance under all others of “Motor and electronics”' },
    ]);
    expect(words(setOpens('motor-hums', 'drive', false))).toEqual([
      { thing: 'Motor and electronics', member: 'opened by “motor-hums”' },
    ]);
    expect(words(removeObservation('motor-hums')).at(-1)).toEqual({ thing: 'it hums without moving', member: '' });
  });
});

describe('the place of a fault', () => {
  it('is told from its pointer', () => {
    const sign = BED.observations.findIndex(({ id }) => id === 'motor-hums');
    expect(faultPlace(`#/observations/${sign}/likelihoods/motor-seized`, BED)).toBe(
      '“it hums without moving”, chance if “motor seized from the line”',
    );
    expect(faultPlace('#/explanations/0/prior', BED)).toBe('“pressed in by a load or a strap on the way”, prior');
    expect(faultPlace('#/explanations/0', BED)).toBe('“pressed in by a load or a strap on the way”');
    expect(faultPlace('#/observations', BED)).toBe('');
    expect(faultPlace('#/explanations/999/prior', BED)).toBe('');
  });
});

describe('signs that hardly matter', () => {
  it('are those that double the odds of nothing (10·log10 2 = 3.01 decibans)', () => {
    const model = modelOf({ priors: { a: 1, b: 1 }, likelihoods: { much: [0.8, 0.2], little: [0.5, 0.45] } });
    expect(
      idleSigns(studyModel(model))
        .map(({ observation }) => observation)
        .toSorted(),
    ).toEqual(['little', OPENER]);
  });
});

describe('a share', () => {
  it('is told with its interval: 8 of 10 is 49.0 to 94.3 % (Wilson 1927)', () => {
    const share = shareOf(8, 10);
    expect(share && showInterval(share)).toBe('8 of 10: 80.0 % (49.0 to 94.3)');
  });
});

describe('the search for a sign', () => {
  it('wants every word, wherever it stands', () => {
    const found = (find: string): string[] => BED.observations.filter((one) => matches(one, find)).map(({ id }) => id);
    expect(found('HUMS without')).toEqual(['motor-hums']);
    expect(found('hums sealed')).toEqual([]);
    expect(found('')).toHaveLength(BED.observations.length);
  });
});
