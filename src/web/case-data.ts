import type { Assessment } from '../adjudication/adjudication.contract.js';
import type { ClaimDossier } from '../claims/claim-review.service.js';
import type { ClaimEvent, StandsAt } from '../claims/claims.contract.js';
import type { ClaimsService } from '../claims/claims.service.js';
import type { ExhibitView } from '../evidence/evidence.service.js';
import type { VisitFacts } from '../inspections/inspections.contract.js';
import type { OpenActs } from './domain/claim-acts.js';
import type { Walk } from './domain/walk-view.js';

/** A claim as it is stored. */
export type Claim = Awaited<ReturnType<ClaimsService['get']>>;

/** A claim as a line of a list. */
export type ClaimLine = Awaited<ReturnType<ClaimsService['line']>>;

/** Everything that stands on the page of a case, as it also travels to the browser. */
export interface CaseData {
  readonly claim: Claim;
  readonly line: ClaimLine;
  readonly standing: StandsAt;
  readonly visit: VisitFacts;
  /** Where the retailer wants goods to go, lines parted by newlines; null where it has not said. */
  readonly goodsAddress: string | null;
  readonly dossier: ClaimDossier;
  readonly assessment: Assessment | undefined;
  readonly events: readonly ClaimEvent[];
  /** What is wrong with the chain of events; undefined where it holds. */
  readonly chainFault: string | undefined;
  readonly inspection: CaseInspection | undefined;
  readonly photos: readonly ExhibitView[];
  /** Names of the observations and of the parts, for what is told by its code. */
  readonly says: Readonly<Record<string, string>>;
  /** Other claims on the same unit, the newest first, with their photos. */
  readonly earlier: readonly EarlierClaim[];
  readonly acts: OpenActs;
  readonly mayAct: boolean;
  readonly mayRecover: boolean;
  /** Id of whoever looks, to tell their acts from those of others. */
  readonly me: string;
  readonly now: string;
}

/** Another claim on the unit. */
export interface EarlierClaim extends ClaimLine {
  readonly photos: readonly ExhibitView[];
}

/** The inspection that a case rests on. */
export interface CaseInspection {
  readonly walk: Walk;
  readonly startedAt: string;
  readonly startedBy: string;
  readonly finishedAt: string | null;
  readonly gapsReason: string | null;
  readonly crewSize: number;
  /** When the newest answer of an item was given. */
  readonly answeredAt: Readonly<Record<string, string>>;
}
