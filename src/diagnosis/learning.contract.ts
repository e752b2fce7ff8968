import type { Component, Family, Origin } from '../kernel/vocabulary.js';
import type { FindingBar } from './diagnosis.contract.js';

/** One decided claim as something to learn from: what was seen, and the explanation on which each damaged thing was settled. */
export interface Lesson {
  readonly format: 'lesson/1';
  /** Any reference to the claim, for sentences about it. */
  readonly claim: string;
  /** Code of the evidence model that the claim was weighed by, as in `bed-base`. */
  readonly model: string;
  /** Local date of the decision, YYYY-MM-DD. */
  readonly decidedOn: string;
  /** Observation codes. Whatever is in neither list was not checked. */
  readonly present: readonly string[];
  readonly absent: readonly string[];
  /** Explanation id by subject. */
  readonly explanations: Readonly<Record<string, string>>;
  /** Whether a person named the explanations; false where the decision let the leading ones stand. */
  readonly named: boolean;
}

/** How much the model in hand weighs against the lessons, stated by whoever starts the learning. */
export interface LearningStrength {
  /** The priors of a subject count as this many decided claims. Above 0. */
  readonly priorClaims: number;
  /** Each likelihood counts as this many claims in which the observation was checked. Above 0. */
  readonly likelihoodClaims: number;
  /** Local date on which these two numbers were stated, YYYY-MM-DD; it is written into the draft. */
  readonly statedOn: string;
}

/** What was read, and what of it could be used. */
export interface LessonTally {
  readonly read: number;
  /** Lessons that settled at least one subject of the model. */
  readonly used: number;
  /** Of the used ones, those whose explanations a person named. */
  readonly named: number;
  /** Lessons of other evidence models. */
  readonly otherModels: number;
  /** Settled explanations that the model does not have in that subject. */
  readonly unknownExplanations: number;
}

/** One number that learning changed. */
export interface ChangedNumber {
  /** JSON Pointer into the draft. */
  readonly at: string;
  readonly was: number;
  readonly is: number;
  /** Decided claims behind it. */
  readonly claims: number;
}

/** A share of cases with its 95 % Wilson score interval. */
export interface Share {
  readonly count: number;
  readonly of: number;
  readonly share: number;
  readonly low: number;
  readonly high: number;
}

/** Agreement beyond chance of two raters on nominal classes. */
export interface Kappa {
  readonly kappa: number;
  /** Asymptotic standard error for kappa other than 0 (Fleiss, Cohen and Everitt 1969). */
  readonly standardError: number;
  /** 95 % interval, kappa ± 1.96 standard errors, cut at -1 and 1. */
  readonly low: number;
  readonly high: number;
  readonly observed: number;
  readonly expected: number;
  readonly cases: number;
}

/** How often each settled class (row) was proposed as each class (column). */
export interface Confusion<Label extends string> {
  readonly labels: readonly Label[];
  /** counts[settled][proposed] */
  readonly counts: readonly (readonly number[])[];
}

/** Forecasts of one bin beside what happened. */
export interface ReliabilityRow {
  /** Bin of forecasts, from included, to excluded except for 1. */
  readonly from: number;
  readonly to: number;
  readonly cases: number;
  readonly meanForecast: number;
  readonly cameTrue: Share;
}

/**
 * Brier score of a binary forecast taken apart (Murphy 1973): score = reliability - resolution + uncertainty + withinBins. The last
 * part is 0 where all forecasts of a bin are equal; otherwise it is the variance within bins less twice the covariance within bins
 * (Stephenson, Coelho and Jolliffe 2008).
 */
export interface BrierParts {
  readonly score: number;
  readonly reliability: number;
  readonly resolution: number;
  readonly uncertainty: number;
  readonly withinBins: number;
}

/** How well proposals met what people settled on. A part is null where no case allows it to be said. */
export interface Scores {
  /** Settled subjects of claims. */
  readonly cases: number;
  /** Cases in which the leading explanation is the settled one. */
  readonly accuracy: Share | null;
  readonly brier: {
    /** Mean over cases of the sum over explanations of (probability - outcome)², from 0 to 2. */
    readonly allExplanations: number;
    /** Mean over cases of (probability of the leading explanation - whether it was right)², from 0 to 1. */
    readonly leadingExplanation: number;
  } | null;
  /** Of the binary score of the leading explanation. */
  readonly parts: BrierParts | null;
  readonly reliability: readonly ReliabilityRow[];
  /** By the leading component and origin (the marginals' greatest). */
  readonly components: Confusion<Component>;
  readonly origins: Confusion<Origin>;
  /** Null where every case falls into one class: chance agreement is then 1 and kappa is undefined. */
  readonly kappa: {
    readonly explanations: Kappa | null;
    readonly components: Kappa | null;
    readonly origins: Kappa | null;
  };
  /** Null where no bar was given. */
  readonly abstention: { readonly toAPerson: Share; readonly rightWhenSettled: Share | null } | null;
}

export interface ModelReport {
  readonly format: 'evidence-report/1';
  readonly models: readonly { readonly id: string; readonly version: number; readonly family: Family }[];
  readonly bar: FindingBar | null;
  /** How forecasts are put into bins, in words. */
  readonly binning: string;
  readonly lessons: LessonTally & {
    /** Settled subjects on which the observations open no finding. */
    readonly notOpened: number;
  };
  readonly all: Scores;
  /** Only the cases whose explanation a person named. */
  readonly named: Scores;
  readonly families: readonly { readonly family: Family; readonly scores: Scores }[];
  /** What the reader must know to read the figures rightly. */
  readonly cautions: readonly string[];
}

/** Two models on exactly the same cases. */
export interface ModelComparison {
  readonly format: 'evidence-comparison/1';
  readonly champion: ModelReport;
  readonly challenger: ModelReport;
  /** Cases that both models can be scored on; both reports are about these only. */
  readonly cases: number;
  readonly bothRight: number;
  readonly onlyChampionRight: number;
  readonly onlyChallengerRight: number;
  readonly bothWrong: number;
  /** Two-sided exact McNemar test on the cases where one is right and the other wrong. */
  readonly mcnemarP: number;
}

/** One way of going through the checks of a finished inspection. */
export interface OrderRun {
  /** Checklist items in the order made, without those that both ways start from. */
  readonly items: readonly string[];
  readonly checks: number;
  readonly seconds: number;
  /** Whether every finding is settled at the end. */
  readonly settled: boolean;
  /** Leading explanation by subject at the end. */
  readonly leading: Readonly<Record<string, string>>;
}

/** Checks needed by the chosen order and by the order of the checklist, from the same start, on the same answers. */
export interface OrderComparison {
  /** Items that show the damage, made before either way begins. */
  readonly start: readonly string[];
  readonly chosen: OrderRun;
  readonly listed: OrderRun;
  /** Leading explanation by subject when everything is known that the inspection holds. */
  readonly leadingOnAll: Readonly<Record<string, string>>;
}

export { cohensKappa, mcnemarExact, shareOf } from './domain/agreement.js';
export { BrierTally } from './domain/brier-tally.js';
export { compareOrders } from './domain/check-order.js';
export { compareModels } from './domain/compare-models.js';
export { learnModel, type LearntDraft } from './domain/learn-model.js';
export { LessonCounts } from './domain/lesson-counts.js';
export { reportOn } from './domain/model-report.js';
export { isLocalDate, readLesson } from './domain/read-lesson.js';
