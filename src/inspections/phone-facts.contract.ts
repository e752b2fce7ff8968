export { CLOCK_TOLERANCE_SECONDS, factText, MOST_FACTS } from './domain/phone-facts.js';

/** What a phone can say. `begin` and `stop` count at once; the rest in the order of the phone's own counter. */
export const PHONE_FACT_KINDS = [
  'begin',
  'answer',
  'stop',
  'acknowledge',
  'receipt',
  'complete',
  'photo',
  'withdraw',
  'claim',
] as const;
export type PhoneFactKind = (typeof PHONE_FACT_KINDS)[number];

/** `waiting` for what the phone counted before it or for a stop to be seen to; `refused` is kept for people to read. */
export type PhoneFactState = 'waiting' | 'taken' | 'refused';

/** One thing that happened, as a phone wrote it down the moment it did. Never changed, never doubled. */
export interface PhoneFact {
  /** uuid, made on the phone */
  readonly id: string;
  /** 1, 2, 3 … for each phone and visit, without a gap */
  readonly n: number;
  readonly kind: PhoneFactKind;
  /** uuid; absent for what concerns the whole visit */
  readonly inspection?: string;
  /** RFC 3339 instant by the phone's clock */
  readonly at: string;
  /** What happened; its fields depend on the kind. */
  readonly body: Readonly<Record<string, unknown>>;
}

/** What a phone is told of a fact, as often as it asks. */
export interface PhoneFactReceipt {
  readonly id: string;
  /** SHA-256 of the fact that is kept under this id. */
  readonly sha256: string;
  readonly state: PhoneFactState;
  readonly problem?: string;
}
