import type { Component } from '../../kernel/vocabulary.js';
import type { Model, Part, WarrantyTerm } from '../../catalogue/catalogue.contract.js';
import type { Finding } from '../../diagnosis/diagnosis.contract.js';
import type { Facts } from '../../policies/policies.contract.js';
import type { ClaimFile, Delivery } from '../adjudication.contract.js';

/** The part of a claim file that a policy judges, once the inspection has been read. */
export type JudgedClaim = Pick<
  ClaimFile,
  'jurisdiction' | 'zone' | 'ground' | 'order' | 'events' | 'asOf' | 'transport' | 'statusLetters' | 'wish'
> & { readonly delivery: Pick<Delivery, 'receipt' | 'receiptWords'> };

/** What remedies cost, of the catalogue's model. */
export type JudgedModel = Pick<
  Model,
  'currency' | 'unitCostMinor' | 'unitFreightMinor' | 'visitCostMinor' | 'salvageBp' | 'grossGrams'
>;

/** A part to be supplied, as far as its cost goes, and how many pieces of it. */
export interface SuppliedPart {
  readonly part: Pick<Part, 'number' | 'title' | 'priceMinor' | 'freightMinor' | 'failsAgainBp' | 'customerFits'>;
  readonly pieces: number;
}

/** The part of a matter that a policy judges. */
export interface JudgedMatter {
  /** Subject of the finding, or `claim`. */
  readonly about: string;
  readonly finding: Pick<Finding, 'origins'> | undefined;
  readonly component: Component | null;
  readonly parts: readonly SuppliedPart[];
}

/** A claim after diagnosis: everything that a policy and the arithmetic behind it need, and nothing else. */
export interface JudgedCase {
  readonly claim: JudgedClaim;
  readonly model: JudgedModel;
  /** Local date by which dated parameters are chosen. */
  readonly on: string;
  /** Completed months from delivery to the day on which the trouble was noticed. */
  readonly ageMonths: number;
  /** Facts that hold for every matter. */
  readonly base: Facts;
  readonly matters: readonly CaseMatter[];
}

/** One matter with its facts. */
export interface CaseMatter {
  readonly matter: JudgedMatter;
  readonly facts: Facts;
  /** What the maker promises for the component; undefined where it promises nothing. */
  readonly warranty: WarrantyTerm | undefined;
  /** Whether the carrier has shown both limbs of its defence. */
  readonly rebutted: boolean;
}
