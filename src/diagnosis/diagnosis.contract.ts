import type { Component, Family, Origin, Sighting, Words } from '../kernel/vocabulary.js';

/** Versioned, editable account of what may be wrong with a product family and how strongly each sign speaks for it. */
export interface EvidenceModel {
  readonly format: 'evidence-model/1';
  readonly id: string;
  readonly version: number;
  readonly family: Family;
  readonly title: string;
  /** Where the numbers come from, in words. */
  readonly basis: string;
  /** Groups of explanations that exclude each other: each subject yields at most one finding. */
  readonly subjects: readonly Subject[];
  readonly explanations: readonly Explanation[];
  readonly observations: readonly ObservationModel[];
}

/** One damaged thing that a finding is about: the carton, the structure, the drive, the contents. */
export interface Subject {
  readonly id: string;
  readonly title: Words;
  /** A finding is opened when one of these observations is present. */
  readonly opensOn: readonly string[];
}

/** What learning made of one number: what it was before, and how many decided claims it now rests on beside that. */
export interface LearntNumber {
  readonly was: number;
  readonly claims: number;
  /** In how many of them it was so; absent in what was learnt before this was written down. */
  readonly times?: number;
}

/** How bad it is if true: only looks, no longer works as promised, or may hurt someone. */
export type Severity = 'cosmetic' | 'functional' | 'unsafe' | 'none';

export interface Explanation {
  readonly id: string;
  readonly subject: string;
  readonly component: Component;
  /** Short noun phrase, e.g. "bent in transit by a fork". */
  readonly fault: string;
  readonly origin: Origin;
  readonly severity: Severity;
  /** Prior weight within its subject; weights of a subject are normalised. Above 0. */
  readonly prior: number;
  readonly grounds: string;
  /** Where the prior was learnt. */
  readonly learnt?: LearntNumber;
}

export interface ObservationModel {
  readonly id: string;
  /** The fact in words, as an analyst reads it: "a corner of the carton is crushed". */
  readonly says: string;
  /** What the crew is asked to do to learn it. */
  readonly check: Words;
  /** The checklist item that yields it. */
  readonly item: string;
  readonly effortSeconds: number;
  /** Observations of one group say the same thing; only the strongest of a group counts. */
  readonly group?: string;
  /** P(present | explanation), strictly between 0 and 1, by explanation id. */
  readonly likelihoods: Readonly<Record<string, number>>;
  /** P(present | explanation) for explanations not listed, by subject. A subject missing here is not informed by this observation at all
   *  unless an explanation of it is listed, in which case `otherwise` of that subject is required. */
  readonly otherwise: Readonly<Record<string, number>>;
  readonly grounds: string;
  /** Likelihoods that were learnt, by explanation id. */
  readonly learnt?: Readonly<Record<string, LearntNumber>>;
}

/** When the service may speak for itself. Probabilities between 0 and 1; decibans are 10·log10 of odds. */
export interface FindingBar {
  /** Least probability of the best explanation. */
  readonly probability: number;
  /** Least margin between the best and the second, in decibans of their ratio. */
  readonly marginDecibans: number;
  /** Tail probability below which the evidence surprises every explanation. */
  readonly surprise: number;
  /** The best check still worth doing must lower entropy by at least this many bits. */
  readonly worthBits: number;
}

export interface Finding {
  readonly subject: string;
  readonly title: Words;
  readonly explanations: readonly RankedExplanation[];
  readonly components: readonly { readonly component: Component; readonly probability: number }[];
  readonly origins: readonly { readonly origin: Origin; readonly probability: number }[];
  /** What spoke, for or against the leading explanation, strongest first. */
  readonly evidence: readonly WeighedObservation[];
  readonly notChecked: readonly string[];
  /** Probability, under the leading explanation, of evidence at least this unlikely. */
  readonly surpriseTail: number;
  readonly entropyBits: number;
  readonly verdict: 'settled' | 'to a person';
  /** Why it abstains, in words; empty when settled. */
  readonly reasons: readonly string[];
}

export interface RankedExplanation {
  readonly id: string;
  readonly component: Component;
  readonly fault: string;
  readonly origin: Origin;
  readonly severity: Severity;
  readonly probability: number;
}

export interface WeighedObservation {
  readonly observation: string;
  readonly says: string;
  readonly sighting: Exclude<Sighting, 'not checked'>;
  /** Weight of evidence for the leading explanation against the rest, given everything else seen, in decibans. */
  readonly decibans: number;
  /** False where a stronger observation of the same group speaks for it. */
  readonly counted: boolean;
}

export interface NextCheck {
  readonly observation: string;
  readonly item: string;
  readonly says: Words;
  readonly subject: string;
  readonly expectedBits: number;
  readonly effortSeconds: number;
  readonly bitsPerSecond: number;
}

export { checkEvidenceModel } from './domain/check-evidence-model.js';
export { compileModel, likelihood } from './domain/compile-model.js';
export type { CompiledModel } from './domain/compile-model.js';
export { findings, posterior } from './domain/findings.js';
export { nextChecks } from './domain/next-checks.js';
