import type { EvidenceModel } from '../../src/diagnosis/diagnosis.contract.js';
import { likelihood } from '../../src/diagnosis/diagnosis.contract.js';
import type { Lesson } from '../../src/diagnosis/learning.contract.js';

/** A lesson on the model `small` with its one subject, with honest defaults. */
export function aLesson(changes: Partial<Lesson> = {}): Lesson {
  return {
    format: 'lesson/1',
    claim: 'C-1',
    model: 'small',
    decidedOn: '2026-03-31',
    present: [],
    absent: [],
    explanations: {},
    named: false,
    ...changes,
  };
}

/** Decided claims as a model says they come: an explanation by its prior, then each observation by its likelihood. */
export function* drawnLessons(
  model: EvidenceModel,
  subject: string,
  count: number,
  next: () => number,
): Generator<Lesson> {
  const explanations = model.explanations.filter((one) => one.subject === subject);
  const observations = model.observations.filter((one) => subject in one.otherwise);
  const weights = explanations.reduce((sum, one) => sum + one.prior, 0);
  const chances = explanations.map((one) => observations.map((each) => likelihood(each, one)));
  for (let n = 0; n < count; n += 1) {
    let left = next() * weights;
    let e = 0;
    for (; e < explanations.length - 1; e += 1) {
      left -= explanations[e]?.prior ?? 0;
      if (left < 0) break;
    }
    const present: string[] = [];
    const absent: string[] = [];
    observations.forEach(({ id }, o) => (next() < (chances[e]?.[o] ?? 0) ? present : absent).push(id));
    const settled = { [subject]: explanations[e]?.id ?? '' };
    yield aLesson({ claim: `C-${n}`, model: model.id, present, absent, explanations: settled });
  }
}
