import { CREATION_PROBLEMS } from '../../platform/http/problem-docs.js';
import type { ProblemCode } from '../../platform/http/problems.js';

/** What every act on a claim may be refused with, beside its own reasons. */
export const ACT_PROBLEMS = [
  'not-found',
  'precondition-required',
  'version-changed',
  'claim-state-forbids',
  'claim-withdrawn',
  ...CREATION_PROBLEMS,
] as const satisfies readonly ProblemCode[];
