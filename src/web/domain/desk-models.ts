import type { EvidenceModel, FindingBar } from '../../diagnosis/diagnosis.contract.js';
import type { Checklist } from '../../inspections/inspections.contract.js';
import type { Family } from '../../kernel/vocabulary.js';

/** What the service sends to the desk's pages of evidence models: types only, shared by both ends. */

/** A version of a model as lists show it. */
export interface ModelVersionLine {
  readonly code: string;
  readonly version: number;
  readonly title: string;
  readonly state: 'draft' | 'published';
  /** RFC 3339 */
  readonly createdAt: string;
  /** Name of its author; null where it came with the service. */
  readonly createdBy: string | null;
  readonly publishedAt: string | null;
  readonly publishedBy: string | null;
  /** UTC date from which it is taken, where it is not from its publication on. */
  readonly effectiveFrom: string | null;
  /** Name of whoever last changed the draft after it was written; null where nobody did. */
  readonly changedBy: string | null;
  /** Whether the reader wrote it. */
  readonly own: boolean;
  /** Whether the reader changed it last. */
  readonly ownChange: boolean;
}

/** A model with its versions, the newest first. */
export interface ModelLine {
  readonly code: string;
  readonly family: Family;
  readonly explanations: number;
  readonly observations: number;
  /** Where the numbers of the version in force come from; of the newest where none is. */
  readonly basis: string;
  /** Number of the version that new assessments take; null where none is published. */
  readonly inForce: number | null;
  readonly versions: readonly ModelVersionLine[];
}

/** What the onlooker may do with models. */
export interface ModelRights {
  readonly edit: boolean;
  readonly publish: boolean;
}

/** Every model. */
export interface ModelsData {
  readonly models: readonly ModelLine[];
  readonly rights: ModelRights;
}

/** When the service may speak for itself under a policy, today. */
export interface PolicyBar {
  readonly policy: string;
  readonly title: string;
  readonly bar: FindingBar;
}

/** One version of a model with what its page needs beside it. */
export interface ModelData {
  readonly line: ModelVersionLine;
  /** How often the draft was changed; goes back as If-Match. */
  readonly edit: number;
  readonly document: EvidenceModel;
  /** The published checklist of the same code, that the model has to fit; null where there is none. */
  readonly checklist: Checklist | null;
  /** The version in force, where it is another one. */
  readonly inForce: { readonly version: number; readonly document: EvidenceModel } | null;
  readonly bars: readonly PolicyBar[];
  /** Numbers of all versions, the newest first, with whether each is published. */
  readonly others: readonly Pick<ModelVersionLine, 'version' | 'state'>[];
  readonly rights: ModelRights;
  /** Today at the service, YYYY-MM-DD in UTC. */
  readonly today: string;
}
