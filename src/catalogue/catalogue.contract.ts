import type { Component, Family } from '../kernel/vocabulary.js';

/** One product model: what it is made of, what parts cost, what it weighs, and what its warranty promises. */
export interface Model {
  /** Stock-keeping code, unique per tenant. */
  readonly sku: string;
  readonly title: string;
  readonly family: Family;
  readonly maker: string;
  /** Gross mass of the packed carton and net mass of the unit, in grams. */
  readonly grossGrams: number;
  readonly netGrams: number;
  /** Regular expression that serial numbers of this model match, anchored at both ends. */
  readonly serialPattern: string;
  /** Currency of every amount below. */
  readonly currency: string;
  /** What a replacement unit costs the seller, and the freight to bring it and take the old one back. */
  readonly unitCostMinor: number;
  readonly unitFreightMinor: number;
  /** One technician's visit. */
  readonly visitCostMinor: number;
  /** What is left of a returned unit, in basis points of its cost. */
  readonly salvageBp: number;
  readonly checklist: string;
  readonly evidenceModel: string;
  readonly parts: readonly Part[];
  readonly warranty: readonly WarrantyTerm[];
}

/** One node of the component tree. `parent` is another part's number; roots have none. */
export interface Part {
  readonly number: string;
  readonly title: string;
  readonly component: Component;
  readonly parent?: string;
  /** Pieces in the carton, for counting against the packing list. */
  readonly pieces: number;
  readonly priceMinor: number;
  readonly freightMinor: number;
  readonly massGrams: number;
  /** True when the customer can fit it without tools that open a motor, supply or battery. */
  readonly customerFits: boolean;
  /** Chance that the repair fails again within a year, in basis points. Estimate, to be learnt. */
  readonly failsAgainBp: number;
  /** Not known when absent. */
  readonly inStock?: boolean;
  /** The spare that is supplied when this component must be replaced; at most one per component. */
  readonly isSpare: boolean;
}

/** What the maker promises for one component: full cover, then pro-rata cover, in months from delivery. */
export interface WarrantyTerm {
  readonly component: Component;
  readonly fullMonths: number;
  readonly proRataMonths: number;
}

/** A model as it is kept: with its id and the version that `If-Match` speaks of. */
export interface StoredModel {
  /** uuid */
  readonly id: string;
  readonly version: number;
  readonly model: Model;
}

export { modelFaults } from './domain/model-faults.js';
export { SERIAL_LENGTH, serialMatches, serialPatternFault } from './domain/serial-pattern.js';
