import type { CompiledPolicy } from '../../policies/policies.contract.js';
import type { RecoveryPlan, RemedyProposal, Responsibility } from '../adjudication.contract.js';
import type { HolidayLookup, ClocksOutcome } from './claim-clocks.js';
import { clocksOfClaim } from './clocks-of-claim.js';
import type { CaseMatter, JudgedCase } from './judged-case.js';
import type { KnownCase, PolicyQuestion, PolicyRun } from './policy-run.js';
import { plannedRecovery } from './recovery-plan.js';
import { remedyOptions } from './remedy-options.js';
import { chooseFor, proposeRemedy, type ChosenMatter } from './remedy-proposal.js';
import { answersFor, withCost, withoutRebutted, type Answers } from './responsibility.js';
import { secondPersonLimit } from './second-person.js';
import { safetyOf, type Safety } from './verdict.js';

/** What a case is judged by. */
export interface JudgedBy {
  readonly policy: CompiledPolicy;
  readonly isHoliday: HolidayLookup;
  /** The run that keeps what was asked; on the day of the case. */
  readonly run: PolicyRun;
  /** Shares under this are folded into the largest, in basis points. */
  readonly shareFloorBp: number;
  readonly useLifeMonths: number | undefined;
  /** The clocks, where the caller knows already that they come out the same; absent: they are counted. */
  readonly clocks?: (safety: boolean) => ClocksOutcome | undefined;
}

/** What a policy and the arithmetic behind it make of a case. */
export interface Judgement {
  readonly answers: readonly Answers[];
  readonly chosen: readonly ChosenMatter[];
  readonly safety: Safety;
  readonly proposal: RemedyProposal;
  readonly responsibility: readonly Responsibility[];
  readonly recovery: RecoveryPlan;
  /** Questions that the limits of liability put to the policy; all others are in the run. */
  readonly recoveryQuestions: readonly PolicyQuestion[];
  readonly clocks: ClocksOutcome;
  /** In minor units; undefined where the policy names no amount. */
  readonly secondPersonAboveMinor: number | undefined;
}

/**
 * Judges a case: who answers, what the customer gets, what each party can be made to pay, what is held, which clocks run. Pure.
 * @throws PolicyMisfit when a fact has a value outside the policy's declaration
 */
export function judge(judged: JudgedCase, by: JudgedBy): Judgement {
  const { claim, model, base } = judged;
  const { policy, run } = by;
  const known = run.about(base);
  const matters = judged.matters.map((one) => ({ ...one, known: run.with(known, one.facts, one.matter.about) }));
  const answers = matters.map(({ matter, known: facts, rebutted }) => {
    const asked = answersFor(matter, facts, run, by.shareFloorBp);
    return rebutted ? withoutRebutted(asked) : asked;
  });
  const chosen = matters.map((one) => chosenFor(one, judged, by));
  const safety = safetyOf(
    matters.map(({ known: facts }) => facts),
    run,
  );
  const { proposal, costByMatter } = proposeRemedy(chosen, model, policy.document.money.rounding);
  const responsibility = answers.map((answer, index) => withCost(answer, costByMatter[index] ?? 0));
  const inPlay = safety.report || safety.open;
  const clocks = by.clocks?.(inPlay) ?? clocksOfClaim(claim, by, inPlay);
  const documents = { policy, model, facts: base };
  const { plan, questions } = plannedRecovery(claim, documents, responsibility, proposal.costLines);
  return {
    answers,
    chosen,
    safety,
    proposal,
    responsibility,
    recovery: plan,
    recoveryQuestions: questions,
    clocks,
    secondPersonAboveMinor: secondPersonLimit(policy.parameter('second person above', run.on), claim.order.currency),
  };
}

function chosenFor(one: CaseMatter & { readonly known: KnownCase }, judged: JudgedCase, by: JudgedBy): ChosenMatter {
  const { matter, known, warranty } = one;
  const { claim, model, ageMonths } = judged;
  const { rounding } = by.policy.document.money;
  const paid = { order: claim.order, rounding, ageMonths, useLifeMonths: by.useLifeMonths, warranty };
  return chooseFor(matter, remedyOptions({ matter, facts: known, claim, model, paid }, by.run));
}
