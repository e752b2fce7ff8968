import type { Party } from '../kernel/vocabulary.js';
import type { RecoveryDemand, Transport } from '../adjudication/adjudication.contract.js';

/** The states of a recovery. `declined` and `written off` may be followed by a late payment; `withdrawn` ends a demand never sent. */
export const RECOVERY_STATES = [
  'open',
  'sent',
  'acknowledged',
  'offered',
  'paid in part',
  'paid',
  'declined',
  'written off',
  'withdrawn',
] as const;
export type RecoveryState = (typeof RECOVERY_STATES)[number];

/** Parties of whom something may be demanded; never the customer. */
export const LIABLE_PARTIES = ['maker', 'seller', 'carrier', 'crew'] as const satisfies readonly Party[];
export type LiableParty = (typeof LIABLE_PARTIES)[number];

/** Papers that support a claim on a carrier (49 CFR 370.7). */
export const PAPERS = ['bill of lading', 'freight bill', 'invoice', 'statement of non-delivery'] as const;
export type Paper = (typeof PAPERS)[number];

/** What a person adds to a recovery: facts about the carriage, papers, and how the demand stands. */
export interface Particulars {
  readonly transport?: Transport;
  readonly papers?: readonly { readonly paper: Paper; readonly reference: string }[];
  /** Number under which the shipment ran: bill of lading, waybill or progressive number. */
  readonly shipmentReference?: string;
  /** Who gave the carrier its written notice of damage. */
  readonly noticeBy?: 'consignee' | 'sender';
  /** Whether the amount is an estimate: such a claim is not paid before a definite one arrives (49 CFR 370.3(d)). */
  readonly amountIsEstimate?: boolean;
  /** Whether the whole package never arrived. */
  readonly neverArrived?: boolean;
  readonly words?: string;
}

/** What a recovery is at one moment, as far as its life and its money are concerned. Amounts in minor units. */
export interface RecoveryStanding {
  readonly state: RecoveryState;
  readonly demandedMinor: number;
  /** What the ledger holds as demanded: nothing before the demand was sent. */
  readonly bookedMinor: number;
  readonly offeredMinor: number | null;
  readonly paidMinor: number;
  readonly salvageMinor: number;
  readonly writtenOffMinor: number;
}

export const RECOVERY_EVENTS = [
  'recovery-opened',
  'demand-changed',
  'particulars-added',
  'demand-sent',
  'demand-acknowledged',
  'offer-made',
  'payment-received',
  'salvage-credited',
  'demand-declined',
  'balance-written-off',
  'recovery-withdrawn',
] as const;
export type RecoveryEventKind = (typeof RECOVERY_EVENTS)[number];

/** One link of a recovery's chain: the hash covers everything else over canonical JSON (RFC 8785), the hash before included. */
export interface RecoveryEvent {
  readonly n: number;
  readonly kind: RecoveryEventKind;
  readonly at: string;
  readonly actor: { readonly kind: string; readonly id: string; readonly name: string };
  readonly body: Readonly<Record<string, unknown>>;
  readonly previousHash: string;
  readonly hash: string;
}

export type { RecoveryDemand };
export { completenessOf, standingOf, type Completeness, type DemandToCheck } from './domain/completeness.js';
export { packetContent, type PacketContent, type PacketInputs } from './domain/packet-content.js';
export { demandCheck, partyNameOf } from './domain/demand-check.js';
export { ageingOf, type Ageing } from './domain/statement.js';
