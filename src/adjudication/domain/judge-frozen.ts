import type { CompiledPolicy } from '../../policies/policies.contract.js';
import { policyNumbers } from './assessment-faults.js';
import { caseOutcome, caseTrace, type CaseOutcome, type CaseTrace } from './case-outcome.js';
import type { HolidayLookup, ClocksOutcome } from './claim-clocks.js';
import { holidaysOfCase, thaw, type FrozenCase } from './frozen-case.js';
import { judge, type Judgement } from './judge.js';
import { missingDecisions, PolicyMisfit, PolicyRun } from './policy-run.js';

/**
 * Number of the meaning that engine and arithmetic together give to a policy and a case. It is raised when the same two may come out
 * differently; a record names the number under which it was made, so that a changed outcome is never taken for a changed record.
 */
export const JUDGEMENT_SEMANTICS = 1;

/** What to judge a kept case by, beside the policy. */
export interface FrozenJudging {
  /** Another day for dated parameters than that of the case. */
  readonly on?: string;
  /** Holidays that nobody asked for when the case was kept. */
  readonly beyond?: HolidayLookup;
  /** The clocks, where they are known to come out the same. */
  readonly clocks?: (safety: boolean) => ClocksOutcome | undefined;
}

/** A judgement of a kept case, or the sentence that says why the policy cannot be applied to it. */
export type FrozenJudgement =
  | { readonly ok: true; readonly outcome: CaseOutcome; readonly judgement: Judgement; readonly run: PolicyRun }
  | { readonly ok: false; readonly problem: string };

/** Judges a kept case by a policy, whichever version of it. Pure. */
export function judgeFrozen(frozen: FrozenCase, policy: CompiledPolicy, by: FrozenJudging = {}): FrozenJudgement {
  const judged = thaw(frozen, by.on);
  const [missing] = missingDecisions(policy);
  if (missing !== undefined) return { ok: false, problem: missing };
  const { numbers, faults } = policyNumbers(policy, judged.on);
  if (faults[0] !== undefined) return { ok: false, problem: faults[0].detail };
  const run = new PolicyRun(policy, judged.on);
  try {
    const isHoliday = holidaysOfCase(frozen, by.beyond);
    const judgement = judge(judged, { policy, isHoliday, run, ...numbers, ...(by.clocks && { clocks: by.clocks }) });
    const around = { jurisdiction: frozen.claim.jurisdiction, outside: frozen.outside };
    return { ok: true, outcome: caseOutcome(judgement, run, around), judgement, run };
  } catch (error) {
    if (!(error instanceof PolicyMisfit)) throw error;
    return { ok: false, problem: `The policy cannot be applied to this claim: ${error.message}.` };
  }
}

/** How a judgement of a kept case came about. */
export function traceOfFrozen(judgement: Extract<FrozenJudgement, { ok: true }>): CaseTrace {
  return caseTrace(judgement.judgement, judgement.run);
}
