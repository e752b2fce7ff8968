/** Of what something was done to. */
export const TRAIL_SOURCES = ['claims', 'recoveries', 'policies', 'people and keys'] as const;
export type TrailSource = (typeof TRAIL_SOURCES)[number];

/** One thing that somebody did. */
export interface TrailEntry {
  readonly source: TrailSource;
  /** uuid of the claim, recovery, policy version or note that it was done to */
  readonly about: string;
  /** Its number in the history of that thing, from 1. */
  readonly n: number;
  readonly kind: string;
  /** RFC 3339 in UTC. */
  readonly at: string;
  readonly actor: { readonly kind: string; readonly id: string; readonly name: string };
  readonly body: Readonly<Record<string, unknown>>;
  /** What the thing is called: a claim's number, whom a demand is on, a policy's code and version, a person or a key. */
  readonly label: string | null;
  /** uuid of the claim that it belongs to */
  readonly claim: string | null;
  /** Of events that are chained. */
  readonly hash: string | null;
}

/** Which entries of the trail are wanted. */
export interface TrailFilter {
  readonly sources: readonly TrailSource[];
  /** Part of the name of whoever did it. */
  readonly who?: string;
  readonly kind?: string;
  /** uuid or number of a claim */
  readonly claim?: string;
  /** RFC 3339; not before */
  readonly from?: string;
  /** RFC 3339; before */
  readonly to?: string;
}

/** What walking some of the chains of claims found. */
export interface ChainsChecked {
  readonly claims: number;
  readonly events: number;
  readonly faults: readonly {
    readonly claim: string;
    readonly number: string | null;
    readonly n: number;
    readonly detail: string;
  }[];
  /** uuid after which the next part begins; absent at the end */
  readonly next?: string;
}

export { trailCsvHead, trailCsvLine, trailWords } from './domain/trail-words.js';
