import type { EvidenceModel, FindingBar } from '../../diagnosis/diagnosis.contract.js';
import type { Answer, Checklist, FoundAt, UnitInHand } from '../../inspections/inspections.contract.js';
import type { Receipt } from '../../kernel/vocabulary.js';

/** Everything that a phone needs for one visit, so that the work goes on without a signal. Instants are RFC 3339 in UTC. */
export interface CrewPack {
  readonly format: 'crew-pack/1';
  readonly madeAt: string;
  /** Who the link or session is for. */
  readonly crew: string;
  readonly visit: CrewVisit;
  readonly units: readonly CrewUnit[];
  /** Published checklists by `code/version`: those of the units, and those of inspections that are open. */
  readonly checklists: Readonly<Record<string, Checklist>>;
  /** Evidence models by code, without the remarks that only analysts read. Absent where none is published. */
  readonly models: Readonly<Record<string, EvidenceModel>>;
  /** When a check is worth the crew's time, by the policy in force; absent where there is none. */
  readonly bar?: FindingBar;
  readonly inspections: readonly KnownInspection[];
  readonly claims: readonly { readonly id: string; readonly serial: string; readonly number: string }[];
}

/** Where the crew goes. Nothing about the customer but what stands on the job card. */
export interface CrewVisit {
  /** uuid */
  readonly id: string;
  readonly order: string;
  readonly retailer: string;
  readonly carrier: string;
  readonly address: readonly string[];
  readonly zone: string;
  readonly windowFrom: string;
  readonly windowTo: string;
  readonly crewSize: number;
  readonly receipt: { readonly kind: Receipt; readonly words: string | null; readonly deliveredAt: string } | null;
}

/** One unit and what it is made of. Masses are grams. */
export interface CrewUnit extends UnitInHand {
  /** uuid */
  readonly id: string;
  readonly sku: string;
  readonly title: string;
  readonly grossGrams: number;
  readonly netGrams: number;
  /** What parts are called, by part number. */
  readonly partTitles: Readonly<Record<string, string>>;
  /** `code/version` of the checklist that is published now. */
  readonly checklist?: string;
  readonly evidenceModel: string;
}

/** An inspection that the service knows of, by whichever phone. */
export interface KnownInspection {
  /** uuid */
  readonly id: string;
  readonly unit: string;
  readonly checklist: string;
  readonly state: 'open' | 'finished';
  readonly foundAt: FoundAt;
  readonly answers: readonly Answer[];
  readonly stops: readonly { readonly stop: string; readonly acknowledged: boolean }[];
  readonly photos: readonly { readonly id: string; readonly item: string; readonly shows: string }[];
}
