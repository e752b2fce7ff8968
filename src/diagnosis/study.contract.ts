import type { Explanation } from './diagnosis.contract.js';

/** What one sign says about one explanation against the others of its subject, by the priors alone: decibans, 10·log10 of odds. */
export interface SignWeight {
  readonly explanation: Explanation;
  /** P(present | explanation). */
  readonly chance: number;
  /** The prior as a share of its subject, from 0 to 1. */
  readonly share: number;
  /** Weight of evidence where the sign is seen, and where it was looked for and is not there. */
  readonly present: number;
  readonly absent: number;
}

/** How much one sign is worth as the first check on one subject. */
export interface SignWorth {
  readonly observation: string;
  readonly says: string;
  readonly item: string;
  readonly group?: string;
  /** By how many bits it lowers the doubt about the explanations on average, before anything else is known. */
  readonly expectedBits: number;
  readonly effortSeconds: number;
  readonly bitsPerSecond: number;
  /** The greatest weight that it can have for or against any explanation, in decibans, without its direction. */
  readonly mostDecibans: number;
}

/** Two explanations of one subject, and how well all signs together tell them apart. */
export interface ExplanationPair {
  /** Ids of the two. */
  readonly one: string;
  readonly other: string;
  /** Weight of evidence for the true one against the other to be expected of all signs, in decibans; the lesser of both directions. */
  readonly decibans: number;
  /** The sign that does most of it. */
  readonly bestSign: string;
}

/** What can be said of one subject of a model without a single claim. */
export interface SubjectStudy {
  readonly subject: string;
  /** Doubt before anything is seen. */
  readonly entropyBits: number;
  /** Every pair, the hardest to tell apart first. */
  readonly pairs: readonly ExplanationPair[];
  /** Every sign that informs the subject, the most worth its time first. */
  readonly signs: readonly SignWorth[];
}

/** One thing in which two versions of a model differ. Numbers and words as they stand in the documents. */
export interface ModelChange {
  readonly kind: 'changed' | 'added' | 'removed';
  readonly of: 'model' | 'subject' | 'explanation' | 'observation';
  /** Id of the subject, explanation or observation; empty of the model itself. */
  readonly id: string;
  /** Member that changed, with dots between its steps: `likelihoods.motor-seized`; empty where the whole was added or removed. */
  readonly member: string;
  /** Absent where there was or is none. */
  readonly was?: string | number;
  readonly is?: string | number;
}

export { modelDifference } from './domain/model-difference.js';
export { signWeights, studyModel } from './domain/study-model.js';
