import {
  judgeFrozen,
  type CaseOutcome,
  type FrozenCase,
  type PolicyQuestion,
} from '../../adjudication/records.contract.js';
import type { HolidayLookup } from '../../adjudication/adjudication.contract.js';
import type { Facts } from '../../policies/policies.contract.js';
import type { RehearsalChange } from '../../policies/rehearsals.contract.js';
import { outcomeChanges, sideOf } from '../domain/outcome-changes.js';
import type { RehearsedClaim } from '../domain/rehearsal-totals.js';
import type { RegionToCount } from './rehearsed-regions.js';
import type { RehearsedPolicy, VersionBefore } from './rehearsed-policy.js';

/** A record as the rehearsal reads it. */
export interface KeptRecord {
  readonly id: string;
  readonly claimId: string;
  readonly facts: string;
  readonly outcome: string;
  /** The version that judged it; undefined where that is gone. */
  readonly version: VersionBefore | undefined;
}

/** What claims are rehearsed by. */
export interface Rehearsing {
  readonly draft: RehearsedPolicy;
  /** Compared with in place of what was said at the time. */
  readonly against?: RehearsedPolicy;
  /** Local date for dated parameters. */
  readonly on?: string;
  readonly holidays: (jurisdiction: string) => HolidayLookup;
  /** Regions of the difference; a claim is counted by their places. */
  readonly regions: readonly Pick<RegionToCount, 'decision' | 'isInside'>[];
}

/** One claim judged again, and the row to write where it comes out otherwise. */
export interface Rehearsed {
  readonly claim: RehearsedClaim;
  readonly change: RehearsalRowBody | undefined;
}

/** What is written of a claim that comes out otherwise. */
export type RehearsalRowBody = Omit<RehearsalChange, 'number'> & { readonly weight: number };

/** Judges a kept claim by a draft. Pure but for the holiday tables. */
export function rehearseClaim(record: KeptRecord, by: Rehearsing): Rehearsed {
  const frozen = JSON.parse(record.facts) as FrozenCase;
  const { parties } = frozen;
  if (comesOutAlike(record, frozen, by)) {
    const was = JSON.parse(record.outcome) as CaseOutcome;
    return { claim: { parties, kinds: [], was, becomes: was, regions: [] }, change: undefined };
  }
  const was = outcomeBefore(record, frozen, by);
  const judged = judgedBy(by.draft, { frozen, was: was.outcome, clocks: was.clocks, by });
  if (!judged.ok) {
    const { problem } = judged;
    const claim = { parties, kinds: ['not fit'], was: was.outcome, becomes: undefined, problem, regions: [] } as const;
    return { claim, change: { ...rowOf(record, claim), becomes: null, problem, weight: 0 } };
  }
  const becomes = judged.outcome;
  const kinds = outcomeChanges(was.outcome, becomes);
  const regions = by.regions.length === 0 ? [] : regionsOf(judged.cases, frozen.on, by);
  const claim = { parties, kinds, was: was.outcome, becomes, regions };
  if (kinds.length === 0) return { claim, change: undefined };
  const weight = Math.abs(becomes.customerMinor - was.outcome.customerMinor);
  return { claim, change: { ...rowOf(record, claim), becomes: sideOf(becomes), weight } };
}

/** Whether nothing can come out otherwise, because the draft answers every question as the version that judged the claim does. */
function comesOutAlike({ version }: KeptRecord, frozen: FrozenCase, { draft, against, on }: Rehearsing): boolean {
  if (version?.answers === undefined || against !== undefined || on !== undefined) return false;
  return version.clocks === draft.clocks && version.answers.alike(frozen);
}

interface Before {
  readonly outcome: CaseOutcome;
  readonly clocks: string;
}

function outcomeBefore(record: KeptRecord, frozen: FrozenCase, by: Rehearsing): Before {
  const kept = { outcome: JSON.parse(record.outcome) as CaseOutcome, clocks: record.version?.clocks ?? '' };
  if (by.against === undefined) return kept;
  const judged = judgedBy(by.against, { frozen, was: kept.outcome, clocks: kept.clocks, by });
  // A version that cannot be applied leaves what was said at the time as the only thing to compare with.
  return judged.ok ? { outcome: judged.outcome, clocks: by.against.clocks } : kept;
}

/** Facts about which the policy was asked, and the decisions that the asking touched. */
interface AskedCase {
  readonly facts: Facts;
  readonly decisions: readonly string[];
}

type Judged =
  | { readonly ok: true; readonly outcome: CaseOutcome; readonly cases: () => readonly AskedCase[] }
  | { readonly ok: false; readonly problem: string };

/** Judges by a policy; where its clocks end as those of the outcome before, they are taken from there. */
function judgedBy(
  { policy, clocks }: RehearsedPolicy,
  of: { readonly frozen: FrozenCase; readonly was: CaseOutcome; readonly clocks: string; readonly by: Rehearsing },
): Judged {
  const { frozen, was, by } = of;
  const inPlay = was.safety.report || was.safety.open;
  let taken = false;
  const judged = judgeFrozen(frozen, policy, {
    beyond: by.holidays(frozen.claim.jurisdiction),
    ...(by.on === undefined ? {} : { on: by.on }),
    clocks: (safety) => {
      taken = clocks === of.clocks && safety === inPlay && was.clockNeeds.length === 0;
      return taken ? { clocks: [], needs: [] } : undefined;
    },
  });
  if (!judged.ok) return judged;
  const outcome = taken ? { ...judged.outcome, clocks: was.clocks } : judged.outcome;
  const { questions } = judged.run;
  return { ok: true, outcome, cases: () => questions.map(askedCase) };
}

function askedCase({ of, decisions, evaluation }: PolicyQuestion): AskedCase {
  const facts: Facts = Object.assign({}, ...of.given);
  return { facts, decisions: [...decisions, ...evaluation.fired.map(({ decision }) => decision)] };
}

function regionsOf(cases: () => readonly AskedCase[], on: string, by: Rehearsing): number[] {
  const all = cases();
  return by.regions.flatMap(({ decision, isInside }, place) =>
    all.some(({ facts, decisions }) => decisions.includes(decision) && isInside(by.on ?? on, facts)) ? [place] : [],
  );
}

function rowOf(record: KeptRecord, claim: RehearsedClaim): Omit<RehearsalRowBody, 'becomes' | 'weight'> {
  return {
    record: record.id,
    claim: record.claimId,
    kinds: claim.kinds,
    currency: claim.was.currency,
    parties: claim.parties,
    was: sideOf(claim.was),
  };
}
