import type { Component, Family, Party, Receipt, Sighting, Stage, Words } from '../kernel/vocabulary.js';

/** A published checklist never changes; a correction is a new version. */
export interface Checklist {
  readonly format: 'checklist/1';
  readonly id: string;
  readonly version: number;
  readonly family: Family;
  readonly title: Words;
  /** Said before the first item: lifting, electricity, pinch points. */
  readonly cautions: readonly Words[];
  readonly sections: readonly ChecklistSection[];
  readonly stops: readonly SafetyStop[];
}

export interface ChecklistSection {
  readonly id: string;
  readonly title: Words;
  readonly items: readonly ChecklistItem[];
}

export interface ChecklistItem {
  readonly id: string;
  /** What the crew reads, as one plain sentence or question. */
  readonly ask: Words;
  readonly help?: Words;
  readonly component?: Component;
  readonly answer: AnswerKind;
  /** Asked only when every condition holds. Absent: always asked. */
  readonly askIf?: readonly AskCondition[];
  /** Photos that an answer demands. */
  readonly photos?: readonly PhotoDemand[];
  readonly yields?: readonly Yield[];
  readonly raises?: readonly { readonly when: AnswerTest; readonly stop: string }[];
}

export type AnswerKind =
  | { readonly type: 'yes-no' }
  | {
      readonly type: 'choice';
      readonly choices: readonly { readonly id: string; readonly says: Words }[];
      readonly many?: boolean;
    }
  /** Pieces found, by part number of the model's packing list. */
  | { readonly type: 'count' }
  | {
      readonly type: 'number';
      readonly unit: string;
      readonly min: number;
      readonly max: number;
      readonly tolerance?: { readonly from: number; readonly to: number };
    }
  | { readonly type: 'scan'; readonly of: 'serial' | 'carton label' }
  | { readonly type: 'text'; readonly maxLength: number }
  | { readonly type: 'photo' };

/** The item earlier in the list whose answer decides, and the test it must pass. */
export interface AskCondition {
  readonly item: string;
  readonly test: AnswerTest;
}

export type AnswerTest =
  /** The answer (or, for many, one of the answers) is one of these. */
  | { readonly is: readonly string[] }
  /** Answered, and none of the answers is one of these. */
  | { readonly isNot: readonly string[] }
  | { readonly below: number }
  | { readonly above: number }
  /** Number outside its tolerance. */
  | { readonly outOfTolerance: boolean }
  /** Fewer pieces than the packing list says; `component` narrows it to parts of one component. */
  | { readonly short: boolean; readonly component?: Component }
  /** Scanned text differs from the visit's serial. */
  | { readonly mismatch: boolean };

export interface PhotoDemand {
  readonly id: string;
  readonly says: Words;
  /** Demanded when the answer passes; absent: always. */
  readonly when?: AnswerTest;
}

export interface Yield {
  readonly when: AnswerTest;
  readonly observation: string;
  readonly sighting: Exclude<Sighting, 'not checked'>;
}

export interface SafetyStop {
  readonly id: string;
  readonly says: Words;
  /** What to do: keep away, unplug, do not plug in, do not use, call. */
  readonly do: readonly Words[];
}

/** null is `not checked`. Choices and photos are lists of ids, counts are pieces by part number, the rest is text or a number. */
export type AnswerValue = string | number | readonly string[] | Readonly<Record<string, number>> | null;

export interface Answer {
  readonly item: string;
  readonly value: AnswerValue;
  readonly note?: string;
}

/** What an inspection says about the unit: sets of observation codes. Anything not named was not checked. */
export interface Observations {
  readonly present: readonly string[];
  readonly absent: readonly string[];
}

/** What a checklist needs to know of the unit in front of the crew. */
export interface UnitInHand {
  readonly serial: string;
  readonly packingList: readonly { readonly part: string; readonly component: Component; readonly pieces: number }[];
}

export { checkAnswer, checkAnswers, walkFaults } from './domain/check-answer.js';
export { checkChecklist } from './domain/check-checklist.js';
export {
  askedItems,
  ChecklistWalk,
  itemsOf,
  nextItem,
  observationsFrom,
  owedPhotos,
  raisedStops,
} from './domain/walk.js';
export type { OwedPhoto } from './domain/walk.js';

/** Where in the work damage was found. */
export type FoundAt = 'unboxing' | 'assembly' | 'use';

/** The place of a visit. */
export interface Address {
  readonly name?: string;
  readonly lines: readonly string[];
  readonly place: string;
  readonly postcode: string;
  /** ISO 3166-1 alpha-2. */
  readonly country: string;
  /** WGS 84 degrees. Shown to analysts only. */
  readonly latitude?: number;
  readonly longitude?: number;
}

/** In whose hands the goods were at one stage, and in which condition they were taken over. */
export interface CustodyRecord {
  readonly stage: Stage;
  readonly party: Party;
  readonly condition: 'clean' | 'exceptions' | 'not known';
  /** RFC 3339 instant. */
  readonly at?: string;
}

/** The order that a visit delivers. Amounts are minor units of `currency`. */
export interface VisitOrder {
  readonly reference: string;
  /** Local date. */
  readonly placedOn: string;
  readonly currency: string;
  readonly priceMinor: number;
  readonly taxMinor: number;
  readonly deliveryMinor: number;
}

/** A visit with the names of the companies around it. Instants are RFC 3339 in UTC. */
export interface VisitFacts {
  /** uuid */
  readonly id: string;
  readonly retailer: { readonly id: string; readonly code: string; readonly name: string };
  readonly carrier: { readonly id: string; readonly code: string; readonly name: string };
  readonly order: VisitOrder;
  readonly address: Address;
  readonly jurisdiction: string;
  readonly zone: string;
  readonly windowFrom: string;
  readonly windowTo: string;
  readonly crewSize: number;
  readonly custody: readonly CustodyRecord[];
  readonly receipt: Receipt | null;
  readonly receiptWords: string | null;
  readonly deliveredAt: string | null;
  readonly units: readonly {
    /** uuid */
    readonly id: string;
    readonly sku: string;
    readonly title: string;
    readonly serial: string;
  }[];
  /** How far the crew has come. Absent where it was not asked for. */
  readonly stage?: VisitStage;
  readonly version: number;
}

/** How far a visit has come: nothing was begun, an inspection is open, everything that was begun is finished. */
export const VISIT_STAGES = ['planned', 'under way', 'inspected'] as const;
export type VisitStage = (typeof VISIT_STAGES)[number];

/** An inspection and what it is made of. */
export interface LocatedInspection {
  /** uuid */
  readonly id: string;
  readonly visitId: string;
  readonly unitId: string;
  readonly checklist: Checklist;
  readonly unit: UnitInHand;
  readonly state: 'open' | 'finished';
}

/** A stop that an answer raised, and who saw it. */
export interface RaisedStop {
  readonly stop: string;
  readonly raisedAt: string;
  readonly acknowledgedAt: string | null;
  readonly acknowledgedBy: string | null;
}

/** What a claim takes from an inspection. */
export interface InspectionForClaim {
  /** uuid */
  readonly id: string;
  readonly visitId: string;
  readonly unitId: string;
  /** `code/version` */
  readonly checklistRef: string;
  readonly checklistHash: string;
  readonly startedAt: string;
  readonly finishedAt: string | null;
  readonly crewSize: number;
  readonly foundAt: FoundAt;
  /** The newest answer of every item that is still asked. */
  readonly answers: readonly Answer[];
  readonly safetyStops: readonly RaisedStop[];
}

/** What a claim takes from a visit and one of its units. */
export interface VisitForClaim {
  /** uuid */
  readonly id: string;
  /** uuid */
  readonly retailerId: string;
  /** Names, as people write them. */
  readonly retailer: string;
  readonly carrier: string;
  readonly order: VisitOrder;
  readonly jurisdiction: string;
  readonly zone: string;
  readonly receipt: Receipt | null;
  readonly receiptWords: string | null;
  readonly deliveredAt: string | null;
  readonly custody: readonly CustodyRecord[];
  readonly windowFrom: string;
  readonly windowTo: string;
  readonly address: Address;
  readonly crewSize: number;
  readonly unit: {
    /** uuid */
    readonly id: string;
    readonly sku: string;
    readonly serial: string;
    readonly maker: string;
    /** Code of the model's checklist and evidence model. */
    readonly checklist: string;
    readonly evidenceModel: string;
  };
}
