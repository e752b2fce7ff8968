import type { EvidenceModel, Explanation, LearntNumber, ObservationModel } from '../diagnosis.contract.js';
import type { ChangedNumber, LearningStrength, Lesson, LessonTally } from '../learning.contract.js';
import { bad, good, type Fault, type Outcome } from '../../kernel/outcome.js';
import { checkEvidenceModel } from './check-evidence-model.js';
import { likelihood } from './compile-model.js';
import { LessonCounts, type SubjectCounts } from './lesson-counts.js';

/** A draft learnt from decided claims: the next version of the model, and what changed in it. */
export interface LearntDraft {
  readonly model: EvidenceModel;
  readonly tally: LessonTally;
  readonly changes: readonly ChangedNumber[];
}

/** No learnt likelihood comes nearer to certainty than this, however many claims agree. */
const LEAST = 1e-6;
const SIGNIFICANT_DIGITS = 6;
const MOST_GROUNDS = 400;

/**
 * Learns from decided claims, one at a time in bounded memory. The model in hand is the prior: the weights of a subject's
 * explanations are a Dirichlet distribution of `priorClaims` pseudo-claims, each likelihood is a Beta distribution of
 * `likelihoodClaims`; the draft has the means after the counts. What was not checked counts neither way. Numbers without a claim
 * stay exactly as they are, so no lessons change nothing; the order of lessons cannot matter, because only whole counts are kept.
 * A likelihood that was said only by `otherwise` is listed once it has claims of its own.
 * @returns faults when a strength is not above 0, or when the draft would not pass `checkEvidenceModel`
 * @throws RangeError when an observation of a lesson is both present and absent
 */
export async function learnModel(
  model: EvidenceModel,
  lessons: AsyncIterable<Lesson> | Iterable<Lesson>,
  strength: LearningStrength,
): Promise<Outcome<LearntDraft>> {
  const faults = strengthFaults(strength);
  if (faults.length > 0) return bad(...faults);
  const counts = new LessonCounts(model);
  for await (const lesson of lessons) counts.add(lesson);
  return draftOf(model, counts, strength);
}

/** The draft that counts already made give. @returns as `learnModel` */
export function draftOf(model: EvidenceModel, counts: LessonCounts, strength: LearningStrength): Outcome<LearntDraft> {
  const tally = counts.tally();
  const changes: ChangedNumber[] = [];
  const draft: EvidenceModel = {
    ...model,
    version: model.version + 1,
    basis: tally.used === 0 ? model.basis : basisOf(model, tally, strength),
    explanations: model.explanations.map((one, index) => withPrior(one, index, { counts, strength, changes })),
    observations: model.observations.map((one, index) => withLikelihoods(one, index, { counts, strength, changes })),
  };
  const checked = checkEvidenceModel(draft);
  return checked.ok ? good({ model: draft, tally, changes }) : checked;
}

interface Learning {
  readonly counts: LessonCounts;
  readonly strength: LearningStrength;
  readonly changes: ChangedNumber[];
}

/** Mean of the Dirichlet distribution, in the scale of weights that the subject has: its sum stays. */
function withPrior(one: Explanation, index: number, { counts, strength, changes }: Learning): Explanation {
  const subject = counts.subjects.find(({ of }) => of.subject.id === one.subject);
  const column = subject?.of.explanations.indexOf(one) ?? -1;
  if (subject === undefined || column < 0) return one;
  const claims = subject.settled.reduce((sum, each) => sum + each, 0);
  if (claims === 0) return one;
  const weights = subject.of.explanations.reduce((sum, each) => sum + each.prior, 0);
  const here = subject.settled[column] ?? 0;
  const prior = rounded((strength.priorClaims * one.prior + weights * here) / (strength.priorClaims + claims));
  if (prior === one.prior) return one;
  changes.push({ at: `#/explanations/${index}/prior`, was: one.prior, is: prior, claims });
  const grounds = groundsAfter(one.grounds, `Learnt from ${claims} decided claims, was ${one.prior}.`);
  return { ...one, prior, grounds, learnt: { was: one.prior, claims, times: here } };
}

/** Means of the Beta distributions of one observation, for every explanation with claims in which it was checked. */
function withLikelihoods(
  one: ObservationModel,
  index: number,
  { counts, strength, changes }: Learning,
): ObservationModel {
  const likelihoods: Record<string, number> = { ...one.likelihoods };
  const learnt: Record<string, LearntNumber> = {};
  let claims = 0;
  for (const subject of counts.subjects) {
    const row = subject.of.rows.indexOf(one);
    if (row < 0) continue;
    for (const cell of cellsOf(subject, row)) {
      claims += cell.checked;
      const was = likelihood(one, cell.explanation);
      const mean = (strength.likelihoodClaims * was + cell.present) / (strength.likelihoodClaims + cell.checked);
      const is = Math.min(1 - LEAST, Math.max(LEAST, rounded(mean)));
      if (is === was) continue;
      const { id } = cell.explanation;
      changes.push({ at: `#/observations/${index}/likelihoods/${id}`, was, is, claims: cell.checked });
      likelihoods[id] = is;
      learnt[id] = { was, claims: cell.checked, times: cell.present };
    }
  }
  if (Object.keys(learnt).length === 0) return one;
  const grounds = groundsAfter(
    one.grounds,
    `Learnt from ${claims} decided claims; what each number was stands under learnt.`,
  );
  return { ...one, likelihoods, grounds, learnt: { ...one.learnt, ...learnt } };
}

interface CountedCell {
  readonly explanation: Explanation;
  readonly checked: number;
  readonly present: number;
}

function cellsOf({ of, present, absent }: SubjectCounts, row: number): CountedCell[] {
  return of.explanations.flatMap((explanation, e) => {
    const here = row * of.explanations.length + e;
    const shown = present[here] ?? 0;
    const checked = shown + (absent[here] ?? 0);
    return checked === 0 ? [] : [{ explanation, checked, present: shown }];
  });
}

/** Six digits say more than any count supports, and a document stays readable. */
function rounded(value: number): number {
  return Number(value.toPrecision(SIGNIFICANT_DIGITS));
}

const LEARNT_BEFORE = /^Learnt from \d+ decided claims.*?\. /;

/** Says what was learnt in front of the grounds that people wrote, in place of what was learnt before. */
function groundsAfter(grounds: string, learnt: string): string {
  const first = grounds.replace(LEARNT_BEFORE, '');
  const whole = `${learnt} ${first}`;
  return whole.length <= MOST_GROUNDS ? whole : `${whole.slice(0, MOST_GROUNDS - 1)}…`;
}

function basisOf(model: EvidenceModel, tally: LessonTally, strength: LearningStrength): string {
  const { priorClaims, likelihoodClaims, statedOn } = strength;
  return (
    `learnt from ${tally.used} decided claims (${tally.named} named by a person) on version ${model.version}, whose priors count as ` +
    `${priorClaims} claims and whose likelihoods count as ${likelihoodClaims} each, as stated on ${statedOn}`
  );
}

function strengthFaults(strength: LearningStrength): Fault[] {
  return (['priorClaims', 'likelihoodClaims'] as const).flatMap((name) => {
    const value = strength[name];
    if (Number.isFinite(value) && value > 0 && value <= 1e9) return [];
    const detail = `${value} is out of range; say how many claims the model in hand counts as, above 0 and up to 1,000,000,000.`;
    return [{ pointer: `#/${name}`, detail }];
  });
}
