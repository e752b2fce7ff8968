import type { ClockStart } from '../../policies/policies.contract.js';

/** What a person or another part of the house may note about a claim: things that happen outside the claim's own steps. */
export const HAPPENINGS = [
  'refund agreed',
  'goods returned',
  'safety reported',
  'carrier claim received',
  'carrier acknowledged',
  'carrier status letter',
  'carrier disposed',
  'carrier disallowed',
  'installed',
  'repair requested',
  'goods back',
  'payment unusable',
  'dispute notified',
  'dispute decided',
] as const;
export type Happening = (typeof HAPPENINGS)[number];

/** One note of what happened when. */
export interface NotedHappening {
  readonly what: Happening;
  /** RFC 3339 instant */
  readonly at: string;
}

/** What clocks are told by the notes: of each kind the newest note, and every status letter. @param notes oldest note first */
export function toldBy(notes: readonly NotedHappening[]): {
  readonly events: Partial<Record<ClockStart, string>>;
  readonly statusLetters: readonly string[];
} {
  const events: Partial<Record<ClockStart, string>> = {};
  const statusLetters: string[] = [];
  for (const { what, at } of notes) {
    if (what === 'carrier status letter') statusLetters.push(at);
    else events[what] = at;
  }
  return { events, statusLetters };
}

/** Instants of a claim's own life, as clocks know them. */
export function happenedTo(claim: {
  readonly filedAt: string | null;
  readonly proposedAt: string | null;
  readonly decidedAt: string | null;
  readonly settledAt: string | null;
}): Partial<Record<ClockStart, string>> {
  return {
    ...(claim.filedAt === null ? {} : { filed: claim.filedAt }),
    ...(claim.proposedAt === null ? {} : { proposed: claim.proposedAt }),
    ...(claim.decidedAt === null ? {} : { decided: claim.decidedAt }),
    ...(claim.settledAt === null ? {} : { settled: claim.settledAt }),
  };
}
