/** What a record of a judgement keeps, and how a kept case is judged again: for records, rehearsals and whoever asks why. */
export { assessTraced, type TracedAssessment } from './assessment.js';
export { affectedDecisions, AnswerComparison } from './domain/answers-alike.js';
export {
  caseOutcome,
  caseTrace,
  type CaseOutcome,
  type CaseTrace,
  type TracedQuestion,
} from './domain/case-outcome.js';
export type { ClocksOutcome } from './domain/claim-clocks.js';
export type { PolicyQuestion } from './domain/policy-run.js';
export { thaw, type FrozenCase, type FrozenMatter } from './domain/frozen-case.js';
export {
  judgeFrozen,
  JUDGEMENT_SEMANTICS,
  traceOfFrozen,
  type FrozenJudgement,
  type FrozenJudging,
} from './domain/judge-frozen.js';
