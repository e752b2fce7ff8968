import type { ClaimState, Ground, Remedy } from '../../kernel/vocabulary.js';

/** What the service sends to the pages of the desk: types only, shared by both ends. */

/** A line of the queue. */
export interface QueueLine {
  readonly id: string;
  readonly number: string | null;
  readonly state: ClaimState;
  readonly ground: Ground;
  readonly model: string;
  readonly serial: string;
  readonly retailer: string;
  readonly orderReference: string;
  readonly currency: string;
  readonly totalMinor: number | null;
  readonly remedies: readonly Remedy[];
  readonly outcome: string | null;
  readonly awaitingSecondPerson: boolean;
  /** RFC 3339; null where no clock runs. */
  readonly dueAt: string | null;
  readonly dueClock: string | null;
}

/** One page of a view of the queue. */
export interface QueueData {
  readonly lines: readonly QueueLine[];
  /** Cursor of the next page. */
  readonly next?: string;
  readonly counts: Readonly<Partial<Record<ClaimState, number>>>;
  readonly awaiting: number;
  /** RFC 3339 */
  readonly now: string;
}
