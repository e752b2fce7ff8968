import type { Component, Ground, Origin, Party, Receipt, Remedy, Stage } from '../kernel/vocabulary.js';
import type { Model } from '../catalogue/catalogue.contract.js';
import type { Finding, NextCheck } from '../diagnosis/diagnosis.contract.js';
import type { Answer } from '../inspections/inspections.contract.js';
import type { ClockStart, FiredRule } from '../policies/policies.contract.js';
import type { CustodyTimeline } from './domain/custody-timeline.js';
import type { CarrierCase, ExceptedCause } from './domain/elements.js';
import type { CapBasis } from './domain/liability-caps.js';
import type { TransportRegime } from './domain/transport.js';

/** Everything that the assessment of one claim rests on. The same shape is read by the command line and built by the service. */
export interface ClaimFile {
  readonly format: 'claim/1';
  readonly title: string;
  /** ISO 3166-1 alpha-2 country, optionally with ISO 3166-2 subdivision: "US-CA", "DE", "GB". */
  readonly jurisdiction: string;
  /** IANA time zone of the place of delivery. */
  readonly zone: string;
  readonly ground: Ground;
  readonly returnReason?: 'change of mind' | 'wrong item';
  /** Documents by `id/version`, or `id` for the newest shipped one. */
  readonly documents: { readonly checklist: string; readonly evidenceModel: string; readonly policy: string };
  readonly parties: { readonly retailer: string; readonly carrier: string; readonly maker: string };
  readonly order: OrderLine;
  readonly unit: { readonly sku: string; readonly serial: string; readonly opened: boolean };
  /** Inline catalogue model; absent: looked up by sku in the catalogue given to the command or the tenant's own. */
  readonly model?: Model;
  readonly delivery: Delivery;
  /** How the goods were carried, where it is known: what limits the carrier's liability. */
  readonly transport?: Transport;
  /** How the carrier was told of the damage, as far as it is known. */
  readonly carrierNotice?: CarrierNotice;
  /** What the carrier has shown in its defence; what is left out it has not shown. */
  readonly rebuttal?: Rebuttal;
  /** When things happened, as RFC 3339 instants with offset. What has not happened is left out. */
  readonly events: Partial<Readonly<Record<ClockStart, string>>>;
  /** RFC 3339 instants at which the carrier wrote why the claim is still open. */
  readonly statusLetters?: readonly string[];
  readonly inspection: {
    readonly startedAt: string;
    readonly crewSize: number;
    readonly answers: readonly Answer[];
  };
  readonly photos: readonly ClaimPhoto[];
  readonly stepsFollowed: boolean | null;
  readonly failedRepairs: number;
  /** What the customer would like, where they said so. */
  readonly wish?: Remedy;
  /** The instant as of which clocks are judged. */
  readonly asOf: string;
}

export interface OrderLine {
  readonly reference: string;
  readonly placedOn: string;
  readonly currency: string;
  readonly priceMinor: number;
  readonly taxMinor: number;
  readonly deliveryMinor: number;
}

export interface Delivery {
  readonly receipt: Receipt;
  /** The words written on the receipt, where there were any. */
  readonly receiptWords?: string;
  readonly foundAt: 'unboxing' | 'assembly' | 'use';
  readonly packaging: 'kept' | 'thrown away' | 'not known';
  readonly impactIndicator: Indicator;
  readonly tiltIndicator: Indicator;
  readonly custody: readonly CustodyStage[];
}

/** The carriage of the goods. A declaration or a conversion that is left out was not made; the other members left out are not known. */
export interface Transport {
  readonly regime: TransportRegime;
  /** Value that the sender declared, in minor units of the order's currency. */
  readonly declaredValueMinor?: number;
  /** Value for each pound that the sender and the carrier agreed, in minor units. */
  readonly agreedPerPoundMinor?: number;
  /** Whether the limit was declared or agreed in writing. */
  readonly writtenAgreement?: boolean;
  /** Whether the sender was offered, and told of, the chance to declare a higher value. */
  readonly higherValueOffered?: boolean;
  /** Whether the carrier took the goods for its own use, or acted wilfully. */
  readonly conversion?: boolean;
  /** Packages that the bill of lading enumerates; absent: one. */
  readonly packages?: number;
  /** Gross weight of the lost or damaged article; absent: the model's. */
  readonly grossGrams?: number;
  /** What was paid for the carriage, in minor units. */
  readonly freightMinor?: number;
  /** Day of the event that did the damage, where it is known; absent: the day of delivery. */
  readonly damagedOn?: string;
  /** Units of the order's currency for one special drawing right, as a person looked it up, with its day and source. */
  readonly sdrRate?: { readonly rate: string; readonly on: string; readonly source: string };
}

/** Circumstances of a notice to the carrier. What is left out is not known. */
export interface CarrierNotice {
  /** Whether it was made or confirmed in writing. */
  readonly written?: boolean;
  readonly inspectionRequested?: boolean;
  /** Who complained: whoever was to receive the goods, or only whoever sent them. */
  readonly by?: 'recipient' | 'sender';
}

/** Two limbs, both of which a carrier must show to escape a prima facie case. */
export interface Rebuttal {
  readonly freeOfNegligence?: boolean;
  readonly exceptedCause?: ExceptedCause;
}

export type Indicator = 'intact' | 'tripped' | 'missing' | 'not fitted' | 'not known';

export interface CustodyStage {
  readonly stage: Stage;
  readonly party: Party;
  readonly condition: 'clean' | 'exceptions' | 'not known';
  readonly at?: string;
}

export interface ClaimPhoto {
  readonly id: string;
  /** Checklist item it belongs to and the demand that it answers ("wide", "close", "label"). */
  readonly item: string;
  readonly shows: string;
  /** File beside the claim file. */
  readonly file: string;
  readonly sha256: string;
}

/** What the service proposes for a claim, with every number's reason. Prints as one JSON object. */
export interface Assessment {
  readonly format: 'assessment/1';
  readonly title: string;
  readonly documents: {
    readonly checklist: DocumentRef;
    readonly evidenceModel: DocumentRef;
    readonly policy: DocumentRef;
  };
  readonly findings: readonly AssessedFinding[];
  readonly responsibility: readonly Responsibility[];
  readonly remedy: RemedyProposal;
  /** What can be demanded of each party that answers. The customer's remedy never depends on it. */
  readonly recovery: RecoveryPlan;
  readonly clocks: readonly Clock[];
  /** For each matter in which goods came to harm: what a case against the carrier stands on, and what would mend it. */
  readonly elements: readonly CarrierCase[];
  /** Who held the goods when, in what condition, and where nobody knows. */
  readonly custody: CustodyTimeline;
  readonly safetyStops: readonly string[];
  readonly needs: readonly Need[];
  /** Checks still worth the crew's time, best first. */
  readonly nextChecks: readonly NextCheck[];
  /** Every rule that fired, by decision, without repeats, in order. */
  readonly rules: readonly string[];
  readonly verdict: 'proposed' | 'to a person';
  readonly reasons: readonly string[];
  /** Paying more than this in all takes a second person; in minor units of the claim's currency. */
  readonly secondPersonAboveMinor: number;
  readonly caution: string;
}

export interface DocumentRef {
  readonly id: string;
  readonly version: number;
  readonly hash: string;
}

export interface AssessedFinding extends Finding {
  readonly leading: {
    readonly component: Component;
    readonly fault: string;
    readonly origin: Origin;
    readonly probability: number;
  };
  readonly evidenceGrade: 'strong' | 'fair' | 'weak';
}

export interface Responsibility {
  /** Subject of the finding, or `claim` where there is no finding (a return). */
  readonly about: string;
  readonly mode: 'presumption' | 'proportional' | 'unassigned';
  /** Basis points by party; they sum to 10,000, or the list is empty when unassigned. */
  readonly shares: readonly { readonly party: Party; readonly bp: number }[];
  /** This finding's part of the cost, split by the shares. */
  readonly costMinor: number;
  readonly amounts: readonly { readonly party: Party; readonly amountMinor: number }[];
  readonly because: string;
  readonly fired: readonly FiredRule[];
}

export interface RemedyProposal {
  readonly currency: string;
  /** One remedy may answer several findings (a refund ends the matter for all of them). */
  readonly chosen: readonly ChosenRemedy[];
  readonly options: readonly RemedyOption[];
  /** Money to the customer. */
  readonly customerLines: readonly AmountLine[];
  readonly customerTotalMinor: number;
  /** What it costs to give the remedy, money to the customer included, less salvage. */
  readonly costLines: readonly AmountLine[];
  readonly costTotalMinor: number;
}

export interface ChosenRemedy {
  readonly remedy: Remedy;
  readonly about: readonly string[];
  /** Part numbers and pieces, for `part`. */
  readonly parts: readonly { readonly number: string; readonly pieces: number }[];
  readonly because: string;
}

export interface RemedyOption {
  readonly about: string;
  readonly remedy: Remedy;
  readonly admissible: boolean;
  readonly rank: number;
  /** Expected cost with the chance that it fails again, which ranks options; not what is paid. */
  readonly expectedCostMinor: number;
  /** Rule (or catalogue fact) that allowed or barred it. */
  readonly rule: string;
  readonly because: string;
}

export interface AmountLine {
  readonly id: string;
  readonly says: string;
  readonly amountMinor: number;
  /** How it was worked out, in words and figures. */
  readonly working: string;
  readonly about: string;
}

/** Who can be made to pay what. Demands, the customer's own share and what nobody answers for add up to the cost, always. */
export interface RecoveryPlan {
  readonly currency: string;
  /** In the order of PARTIES; the customer is never among them. */
  readonly demands: readonly RecoveryDemand[];
  /** The share that answers to the customer's own doing. The service demands it of nobody; a person decides. */
  readonly customerShareMinor: number;
  /** Cost that no party is named for. */
  readonly unassignedMinor: number;
  /** What must be known before every limit is settled. */
  readonly needs: readonly Need[];
}

/** What is demanded of one party. Amounts in minor units of the plan's currency. */
export interface RecoveryDemand {
  readonly party: Party;
  /** The party's part of each cost, less salvage, less what its limit cuts off, plus what another's limit puts on it; they sum to the total. */
  readonly lines: readonly AmountLine[];
  /** The party's part of the cost before salvage and limit. */
  readonly lossMinor: number;
  readonly salvageMinor: number;
  readonly cap: DemandCap;
  /** What the limit cuts off; it falls on `cap.fallsOn`. */
  readonly cutMinor: number;
  readonly totalMinor: number;
}

/** The limit of one party's liability. `not known` cuts nothing off until its needs are answered. */
export interface DemandCap {
  readonly basis: CapBasis | 'not known';
  readonly limitMinor: number | null;
  readonly sdr: string | null;
  readonly working: string;
  readonly fallsOn: Party | null;
  readonly rule: string | null;
  readonly because: string;
  readonly source: string | null;
}

export interface Clock {
  readonly id: string;
  readonly title: string;
  readonly ground: string;
  readonly source: string;
  readonly owedBy: string;
  readonly lapse: string;
  readonly state: 'not started' | 'running' | 'met' | 'missed';
  readonly startedAt: string | null;
  /** Last local date on which it can be met; for hour clocks the date of the last instant. */
  readonly lastDay: string | null;
  /** The instant at which it is missed, RFC 3339 in UTC. */
  readonly endsAt: string | null;
  /** What its end means, in words: a strict bar, a shifted burden, a breach. */
  readonly effect: string;
  /** When to warn whoever owes it, RFC 3339 in UTC, earliest first. */
  readonly warnsAt: readonly string[];
  /** Which turn of a clock that falls due again and again, from 1. Absent for clocks that do not. */
  readonly occurrence?: number;
  /** Since when it stands still; it has no end while it does. */
  readonly pausedAt?: string;
  /** When what stops it happened, in time or late. */
  readonly stoppedAt?: string;
}

export interface Need {
  readonly what: string;
  readonly ask: string;
  readonly why: string;
}

export { assess, whyOf, type AssessmentInputs } from './assessment.js';
export { claimClock, claimClocks, type ClockContext, type HolidayLookup } from './domain/claim-clocks.js';
export { ownHolidays, type OwnHoliday } from './domain/own-holidays.js';
export { clocksOfClaim } from './domain/clocks-of-claim.js';
export {
  EXCEPTED_CAUSES,
  carrierCase,
  type CarrierCase,
  type CaseElement,
  type ExceptedCause,
} from './domain/elements.js';
export { custodyTimeline, type CustodyHandOver, type CustodyTimeline } from './domain/custody-timeline.js';
export { effectiveReceipt, piecesNoted } from './domain/receipt-words.js';
export {
  allowanceMoney,
  refundMoney,
  valueDifference,
  valueReduction,
  type PaidAndAge,
  type Terms,
} from './domain/customer-money.js';
export { CLAIM_LIMITS, readClaimFile } from './domain/read-claim-file.js';
export {
  CAP_BASES,
  convertSdr,
  declaredLimit,
  lessSalvageProceeds,
  releasedLimit,
  sdrPackageOrKg,
  sdrPerKg,
  underLimit,
  type CapBasis,
} from './domain/liability-caps.js';
export { costByFinding } from './domain/remedy-choice.js';
export { recoveryPlan, type RecoveryDocuments } from './domain/recovery-plan.js';
export { TRANSPORTS, transport as readTransport, type TransportRegime } from './domain/transport.js';
export { partyAmounts, proportionalShares } from './domain/responsibility-shares.js';
export { secondPersonLimit, takesSecondPerson } from './domain/second-person.js';
export { warrantyCover, warrantyTerm, type Cover } from './domain/warranty-cover.js';
export { type Why, type WhyStep } from './domain/why.js';
export { readCatalogueFile } from './catalogue-file.js';

/** Name of the job that has clocks counted anew once a house changes its holidays. The module that keeps clocks does it. */
export const HOLIDAYS_CHANGED = 'holidays-changed';
