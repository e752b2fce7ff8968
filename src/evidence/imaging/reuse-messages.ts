import type { FeatureMatch } from '../domain/features-match.js';
import type { IndexSize, Neighbour } from '../domain/fingerprint-index.js';

/** What the service asks of the process that compares photos, by its name. */
export interface ReuseOrders {
  /** The highest number that the index has of a tenant, and how many fingerprints. */
  standing: {
    readonly asks: { readonly tenant: string };
    readonly answers: { readonly last: number; readonly fingerprints: number };
  };
  /** Adds fingerprints of 32 bytes each in the order of their numbers. */
  add: {
    readonly asks: {
      readonly tenant: string;
      readonly numbers: readonly number[];
      readonly fingerprints: Uint8Array;
    };
    readonly answers: IndexSize;
  };
  search: {
    readonly asks: {
      readonly tenant: string;
      readonly queries: readonly Uint8Array[];
      readonly limit: number;
      readonly most: number;
    };
    readonly answers: readonly Neighbour[];
  };
  /** Packed features of one of our own renditions. */
  features: { readonly asks: { readonly file: string }; readonly answers: Uint8Array };
  /** Compares packed features with others, one by one. */
  match: {
    readonly asks: { readonly one: Uint8Array; readonly others: readonly Uint8Array[] };
    readonly answers: readonly FeatureMatch[];
  };
}

export type ReuseKind = keyof ReuseOrders;

export type ReuseOrder = {
  [Kind in ReuseKind]: { readonly order: number; readonly kind: Kind; readonly asks: ReuseOrders[Kind]['asks'] };
}[ReuseKind];

export type ReuseReply =
  | { readonly order: number; readonly ok: true; readonly answers: unknown }
  | { readonly order: number; readonly ok: false; readonly problem: string };
