import type { Party, Remedy } from '../kernel/vocabulary.js';

/** Name of the job that rehearses a version over past claims. The module that can judge claims does it. */
export const REHEARSE_POLICY = 'rehearse-policy';

export const REHEARSAL_STATES = ['waiting', 'running', 'finished', 'cancelled', 'failed'] as const;
export type RehearsalState = (typeof REHEARSAL_STATES)[number];

/** Which past claims to go through, and against what. Left out: all of them, against what was said at the time. */
export interface RehearsalWish {
  /** RFC 3339 instants: claims judged from the first on and before the second. */
  readonly from?: string;
  readonly to?: string;
  /** About so many claims, chosen by chance but always the same ones. */
  readonly sample?: number;
  /** A version to compare with, in place of what was said at the time. */
  readonly against?: number;
  /** Local date: dated parameters as they will be then, in place of the day of each claim. */
  readonly on?: string;
  /** Set by the service: of how many records one counts. */
  readonly oneIn?: number;
  /** Set by the service: the version whose difference is counted by regions; absent where none was in force. */
  readonly comparedWith?: number;
}

/** What may come out otherwise in a claim. `not fit`: the version cannot be applied to it at all. */
export const CHANGE_KINDS = [
  'remedy',
  'responsible',
  'customer money',
  'cost',
  'demands',
  'hold',
  'verdict',
  'clocks',
  'not fit',
] as const;
export type ChangeKind = (typeof CHANGE_KINDS)[number];

/** How changed claims are listed: most money either way first, most gained, most lost, or by the number of the claim. */
export const CHANGE_ORDERS = ['money', 'more', 'less', 'number'] as const;
export type ChangeOrder = (typeof CHANGE_ORDERS)[number];

/** One side of a comparison, as far as it differs or says what differs. Money is in minor units. */
export interface ClaimSide {
  readonly remedies: readonly Remedy[];
  readonly responsible: readonly {
    readonly about: string;
    readonly mode: string;
    readonly shares: readonly { readonly party: Party; readonly bp: number }[];
  }[];
  readonly customerMinor: number;
  readonly costMinor: number;
  readonly demands: readonly { readonly party: Party; readonly totalMinor: number }[];
  readonly hold: boolean;
  readonly verdict: string;
  readonly clocks: readonly { readonly id: string; readonly endsAt: string | null }[];
}

/** A claim that comes out otherwise. */
export interface RehearsalChange {
  /** uuid of the record that was judged again */
  readonly record: string;
  /** uuid */
  readonly claim: string;
  readonly number: string | null;
  readonly kinds: readonly ChangeKind[];
  readonly currency: string;
  readonly parties: { readonly retailer: string; readonly carrier: string; readonly maker: string };
  readonly was: ClaimSide;
  /** Null where the version cannot be applied. */
  readonly becomes: ClaimSide | null;
  readonly problem?: string;
}

/** Sums of one currency in minor units over the claims that came out either way. */
export interface MoneySums {
  readonly currency: string;
  readonly customerWasMinor: number;
  readonly customerBecomesMinor: number;
  readonly costWasMinor: number;
  readonly costBecomesMinor: number;
  /** Claims whose customer gets more, and less. */
  readonly more: number;
  readonly less: number;
}

/** How often one value became another, with the customers' money between them. */
export interface Turn {
  readonly was: string;
  readonly becomes: string;
  readonly claims: number;
  readonly money: readonly { readonly currency: string; readonly customerDeltaMinor: number }[];
}

/** What the version does to one party's claims. */
export interface PartyEffect {
  readonly name: string;
  readonly claims: number;
  readonly changed: number;
  readonly money: readonly {
    readonly currency: string;
    readonly customerDeltaMinor: number;
    /** What is demanded of the party itself; of a retailer, what is demanded of the seller. */
    readonly demandDeltaMinor: number;
  }[];
}

/** What a rehearsal found. */
export interface RehearsalResult {
  readonly format: 'rehearsal/1';
  readonly claims: number;
  readonly changed: number;
  /** Claims that change in each way; one claim may change in several. */
  readonly kinds: Readonly<Partial<Record<ChangeKind, number>>>;
  readonly money: readonly MoneySums[];
  /** From what to what, unchanged ones too, those with most claims first. */
  readonly remedies: readonly Turn[];
  readonly responsible: readonly Turn[];
  readonly holds: readonly Turn[];
  readonly whom: {
    readonly retailer: readonly PartyEffect[];
    readonly carrier: readonly PartyEffect[];
    readonly maker: readonly PartyEffect[];
  };
  /** Why the version cannot be applied to claims, and to how many. */
  readonly problems: readonly { readonly problem: string; readonly claims: number }[];
  /** Parts of the difference between the two versions, those first that most claims fall into. */
  readonly regions: readonly RehearsedRegion[];
  /** What the reader must know before relying on it. */
  readonly cautions: readonly string[];
}

/** A part of the difference between two versions with the claims that fall into it. */
export interface RehearsedRegion {
  readonly decision: string;
  /** The region in words. */
  readonly says: string;
  readonly was: string;
  readonly becomes: string;
  readonly claims: number;
}
