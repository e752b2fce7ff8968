/** A phone, with how much it still owes. Instants are RFC 3339 in UTC. */
export interface OwingPhone {
  /** uuid made on the phone */
  readonly phone: string;
  readonly visit: string;
  readonly order: string;
  readonly crew: string;
  readonly countedTo: number;
  readonly factsOwed: number;
  readonly photosOwed: number;
  /** Since when it owes: the oldest photo that it told of, or when it was last heard. */
  readonly since: string;
  /** By how much its clock ran ahead when it last sent; below zero when behind. */
  readonly clockAheadSeconds: number;
  readonly lastHeardAt: string;
  /** Somebody said that it is lost, and it has not been heard since. */
  readonly lost: { readonly at: string; readonly by: string; readonly because: string } | null;
  /** Claims of the visit. */
  readonly claims: readonly { readonly id: string; readonly number: string | null; readonly state: string }[];
}

/** A photo that a phone says it holds and that is not here. */
export interface PhotoOnPhone {
  readonly photo: string;
  readonly item: string;
  readonly shows: string;
  readonly takenAt: string;
}

/** A fact that was kept but could not be done. */
export interface RefusedFact {
  readonly id: string;
  readonly kind: string;
  readonly problem: string;
  readonly inspection: string | null;
  /** By the clock of the phone. */
  readonly at: string;
  /** What the phone said. */
  readonly body: Readonly<Record<string, unknown>>;
}

/** A phone of a visit and what it still owes. */
export interface PhoneStanding extends OwingPhone {
  /** Numbers it has given out that never came; at most 100. */
  readonly missing: readonly number[];
  readonly photos: readonly PhotoOnPhone[];
  /** Facts that were kept but could not be done, with the reason. */
  readonly refused: readonly RefusedFact[];
}

/** What one phone answered. */
export interface GivenAnswer {
  readonly fact: string;
  readonly phone: string;
  readonly crew: string;
  readonly inspection: string;
  readonly value: unknown;
  readonly note?: string;
  /** RFC 3339 by our clock, worked out from the phone's where that is off by more than ten minutes. */
  readonly at: string;
  /** By the phone's own clock, where it was off by more than that. */
  readonly saidAt?: string;
}

/** A check on which two phones do not agree, and what was settled. */
export interface Disagreement {
  /** uuid of the inspection that was begun first among those that say something. */
  readonly inspection: string;
  readonly unit: string;
  readonly serial: string;
  readonly item: string;
  readonly answers: readonly GivenAnswer[];
  /** The newest settlement, also where a phone has said something new since. */
  readonly settled?: { readonly value: unknown; readonly words: string; readonly at: string; readonly by: string };
  /** Nobody has settled it as it stands. */
  readonly open: boolean;
}
