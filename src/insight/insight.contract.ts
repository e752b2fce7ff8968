import type { ClaimState, Component, Ground, Party } from '../kernel/vocabulary.js';

/** A rate with its uncertainty. Bounds are a 95 % Wilson score interval. */
export interface Rate {
  readonly count: number;
  readonly of: number;
  readonly rate: number;
  readonly low: number;
  readonly high: number;
}

/** What figures are asked for. Days are days of UTC, both within. */
export interface FiguresWish {
  /** YYYY-MM-DD */
  readonly from: string;
  /** YYYY-MM-DD */
  readonly until: string;
  /** uuid; absent: all */
  readonly retailer?: string;
  /** Name of the maker; absent: all */
  readonly maker?: string;
}

/** How long something took, over those where it happened. Hours; null where it happened to none. */
export interface Span {
  readonly count: number;
  readonly medianHours: number | null;
  /** Nine in ten took no longer. */
  readonly ninetiethHours: number | null;
}

/** How long open cases have waited since they were filed. */
export const AGE_BANDS = [
  'under a day',
  '1 to 2 days',
  '3 to 6 days',
  '7 to 13 days',
  '14 to 29 days',
  '30 days and more',
] as const;
export type AgeBand = (typeof AGE_BANDS)[number];

/** States in which a case waits for its decision. */
export const OPEN_STATES = [
  'filed',
  'assessing',
  'needs information',
  'proposed',
] as const satisfies readonly ClaimState[];
export type OpenState = (typeof OPEN_STATES)[number];

/** What a party was asked for, in minor units of one currency. What was sent is recovered, written off or still owed. */
export interface PartyMoney {
  readonly party: Party;
  readonly currency: string;
  readonly demands: number;
  /** Worked out, and not sent to the party yet. */
  readonly notSentMinor: number;
  readonly sentMinor: number;
  /** Paid by the party, or credited to it from salvage. */
  readonly recoveredMinor: number;
  readonly writtenOffMinor: number;
  readonly owedMinor: number;
}

/** How often decisions departed from what the service proposed where a rule had fired. */
export interface RuleOverrides extends Rate {
  /** Code of the policy. */
  readonly policy: string;
  /** Decision and rule, e.g. `responsibility/RES-US-40`. */
  readonly rule: string;
}

/** What looking at one thing told. `rate` is the share of claims in which it moved a finding. */
export interface CheckYield extends Rate {
  /** Code of the evidence model. */
  readonly model: string;
  readonly observation: string;
  readonly says: string;
  /** Claims in which it was found; in the others it was looked for and not there. */
  readonly present: number;
  /** Claims with a finding that it bears on, in which nobody looked. */
  readonly notChecked: number;
  /** Mean of its strongest weight in a claim, whichever way it pulled. */
  readonly meanDecibans: number;
}

/** A weight of evidence from which on a check counts as having moved a finding: the odds are doubled or halved. */
export const MOVED_DECIBANS = 3;

/** The figures of a house. */
export interface Figures {
  readonly wish: FiguresWish;
  /** RFC 3339 */
  readonly asOf: string;
  /** Claims whose standing decision was made within the days. */
  readonly decided: readonly { readonly outcome: string; readonly ground: Ground; readonly count: number }[];
  /** Cases without a decision now, whenever they were filed. */
  readonly open: readonly { readonly band: AgeBand; readonly state: OpenState; readonly count: number }[];
  readonly times: {
    /** From filing to the first act of a person at the desk; claims filed within the days. */
    readonly firstLook: Span & { readonly waiting: number };
    /** From filing to the first decision that stood; claims first decided within the days. */
    readonly decision: Span & { readonly waiting: number };
    /** The same by month (YYYY-MM) of the first decision. */
    readonly byMonth: readonly (Span & { readonly month: string })[];
  };
  /** Findings of claims filed within the days, by what was the matter as decided, or else as proposed. */
  readonly classes: readonly {
    readonly maker: string;
    readonly month: string;
    readonly component: Component;
    readonly count: number;
  }[];
  readonly overrides: readonly RuleOverrides[];
  /** Recoveries opened within the days. */
  readonly money: readonly PartyMoney[];
  readonly checks: readonly CheckYield[];
  /** What the figures can be narrowed to. */
  readonly choices: {
    readonly makers: readonly string[];
    readonly retailers: readonly { readonly id: string; readonly name: string }[];
  };
}

export { rateOf } from './domain/rates.js';
export { monthsFrom } from './domain/figures.js';
