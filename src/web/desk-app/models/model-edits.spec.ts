import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { checkEvidenceModel, type EvidenceModel } from '../../../diagnosis/diagnosis.contract.js';
import { modelDifference } from '../../../diagnosis/study.contract.js';
import { projectRoot } from '../../../platform/config/project-root.js';
import {
  addExplanation,
  addObservation,
  changeExplanation,
  changeObservation,
  readNumber,
  removeExplanation,
  removeObservation,
  setLikelihood,
  setOpens,
  setOtherwise,
  type Edit,
} from './model-edits.js';

const SHIPPED = JSON.parse(
  readFileSync(join(projectRoot(), 'src/diagnosis/shipped/bed-base.1.json'), 'utf8'),
) as EvidenceModel;

/** What an edit changed, as the difference tells it. */
function changed(edit: Edit): string[] {
  return modelDifference(SHIPPED, edit(SHIPPED) as EvidenceModel).map(({ kind, id, member, is }) =>
    [kind, id, member, ...(is === undefined ? [] : [is])].filter((each) => each !== '').join(' '),
  );
}

/** Pointers of the faults after an edit. */
function faults(edit: Edit): string[] {
  const outcome = checkEvidenceModel(edit(SHIPPED));
  return outcome.ok ? [] : outcome.faults.map(({ pointer }) => pointer);
}

describe('a number that is typed', () => {
  it.each([
    ['0.5', 0.5],
    [' 12 ', 12],
    ['.25', 0.25],
    ['1e-3', 0.001],
    ['0,5', '0,5'],
    ['', ''],
    ['-1', '-1'],
    ['half', 'half'],
  ])('%j is read as %j', (text, read) => {
    expect(readNumber(text)).toBe(read);
  });
});

describe('edits of a model', () => {
  it('change what they are about and nothing else', () => {
    expect(changed(changeExplanation('motor-seized', { prior: 9 }))).toEqual(['changed motor-seized prior 9']);
    expect(changed(setLikelihood('motor-hums', 'motor-seized', 0.5))).toEqual([
      'changed motor-hums likelihoods.motor-seized 0.5',
    ]);
    expect(changed(changeObservation('motor-hums', { effortSeconds: 7 }))).toEqual([
      'changed motor-hums effortSeconds 7',
    ]);
    expect(changed(setOtherwise('motor-hums', 'drive', 0.2))).toEqual(['changed motor-hums otherwise.drive 0.2']);
    expect(changed(setOpens('motor-hums', 'drive', false))).toEqual(['removed drive opensOn.motor-hums']);
  });

  it('keep what is no number as it was typed, and the checker says where it stands', () => {
    const at = SHIPPED.explanations.findIndex(({ id }) => id === 'motor-seized');
    expect(faults(changeExplanation('motor-seized', { prior: readNumber('many') }))).toEqual([
      `#/explanations/${at}/prior`,
    ]);
    const sign = SHIPPED.observations.findIndex(({ id }) => id === 'motor-hums');
    expect(faults(setLikelihood('motor-hums', 'motor-seized', readNumber('1')))).toEqual([
      `#/observations/${sign}/likelihoods/motor-seized`,
    ]);
  });

  it('take an explanation out with every number that is about it, and a sign wherever it stands', () => {
    expect(faults(removeExplanation('motor-seized'))).toEqual([]);
    expect(changed(removeExplanation('motor-seized'))).toContain('removed motor-seized');
    expect(faults(removeObservation('motor-hums'))).toEqual([]);
    expect(changed(removeObservation('motor-hums'))).toEqual([
      'removed drive opensOn.motor-hums',
      'removed motor-hums',
    ]);
  });

  it('add what can be taken out again without a trace', () => {
    const [first] = SHIPPED.explanations;
    const [sign] = SHIPPED.observations;
    if (first === undefined || sign === undefined) throw new Error('the shipped model is empty');
    const added = addExplanation({ ...first, id: 'fresh' })(SHIPPED);
    expect(added.explanations.map(({ id }) => id).indexOf('fresh')).toBe(10);
    expect(removeExplanation('fresh')(added)).toEqual(SHIPPED);
    expect(removeObservation('new-sign')(addObservation({ ...sign, id: 'new-sign' })(SHIPPED))).toEqual(SHIPPED);
    expect(changed(changeObservation('motor-hums', { group: '' }))).toEqual(['removed motor-hums group']);
  });

  it('leave a number that a person writes no longer learnt', () => {
    const learnt = {
      ...SHIPPED,
      explanations: SHIPPED.explanations.map((one) => ({ ...one, learnt: { was: 1, claims: 3 } })),
      observations: SHIPPED.observations.map((one) => ({
        ...one,
        learnt: Object.fromEntries(Object.keys(one.likelihoods).map((id) => [id, { was: 0.5, claims: 3 }])),
      })),
    };
    const prior = changeExplanation('motor-seized', { prior: 9 })(learnt).explanations;
    expect(prior.filter((one) => one.learnt === undefined).map(({ id }) => id)).toEqual(['motor-seized']);
    const worded = changeExplanation('motor-seized', { grounds: 'because' })(learnt).explanations;
    expect(worded.every((one) => one.learnt !== undefined)).toBe(true);
    const cell = setLikelihood('motor-hums', 'motor-seized', 0.5)(learnt).observations;
    const hums = cell.find(({ id }) => id === 'motor-hums');
    expect(hums?.learnt).not.toHaveProperty('motor-seized');
    expect(Object.keys(hums?.likelihoods ?? {})).toEqual(
      Object.keys(SHIPPED.observations.find(({ id }) => id === 'motor-hums')?.likelihoods ?? {}),
    );
  });

  it('let a sign say nothing of a subject any more, also where it opened it', () => {
    const silent = setOtherwise('motor-hums', 'drive', undefined)(SHIPPED);
    const sign = silent.observations.find(({ id }) => id === 'motor-hums');
    expect([sign?.likelihoods, sign?.otherwise]).toEqual([{}, {}]);
    expect(silent.subjects.find(({ id }) => id === 'drive')?.opensOn).not.toContain('motor-hums');
  });
});
