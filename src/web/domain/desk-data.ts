import type { Act } from '../../access/access.contract.js';
import type { ClaimState, Component, Ground, Remedy } from '../../kernel/vocabulary.js';

/** What the service sends to the pages of the desk: types only, shared by both ends. */

/** A line of the queue. */
export interface QueueLine {
  readonly id: string;
  readonly number: string | null;
  readonly state: ClaimState;
  readonly ground: Ground;
  /** What is broken, as the assessment has it. */
  readonly components: readonly Component[];
  readonly model: string;
  readonly serial: string;
  readonly retailer: string;
  readonly orderReference: string;
  readonly currency: string;
  readonly totalMinor: number | null;
  readonly remedies: readonly Remedy[];
  readonly outcome: string | null;
  readonly awaitingSecondPerson: boolean;
  /** Who of the desk has taken it; null for nobody's. */
  readonly takenBy: { readonly id: string; readonly name: string } | null;
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
  /** How many open claims whoever looks has taken. */
  readonly mine: number;
  /** RFC 3339 */
  readonly now: string;
}

/** A view of the queue that somebody keeps under a name of their own. */
export interface OwnView {
  readonly id: string;
  readonly name: string;
  /** Id of the view that it narrows. */
  readonly view: string;
  /** Part of a claim number, serial number or order reference; empty for all. */
  readonly find: string;
  /** A ground; empty for all. */
  readonly ground: string;
}

/** A door of the desk: a page of its own, or one of the service beside it. */
export interface DeskDoor {
  readonly says: string;
  /** Place within the desk, beginning with a slash. */
  readonly to?: string;
  /** Address outside it. */
  readonly href?: string;
  /** What is counted beside it. */
  readonly counts?: 'phones';
}

/** The person at the desk and the doors that open for them. */
export interface DeskOnlooker {
  readonly id: string;
  readonly name: string;
  readonly doors: readonly DeskDoor[];
  /** What the person's roles let them do at all; whether it is done is decided by the service each time. */
  readonly acts: readonly Act[];
}
