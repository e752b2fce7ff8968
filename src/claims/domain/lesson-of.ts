import type { Lesson } from '../../diagnosis/learning.contract.js';
import { pointer, type Fault } from '../../kernel/outcome.js';
import type { OverrideReason } from '../claims.contract.js';

/** One damaged thing of an assessment: what led, and what was seen of it. */
export interface DecidedFinding {
  readonly subject: string;
  /** Id of the leading explanation. */
  readonly leading: string;
  readonly evidence: readonly { readonly observation: string; readonly sighting: 'present' | 'absent' }[];
}

/** A decision that stands, as far as there is something to learn from it. */
export interface DecidedFindings {
  readonly claim: string;
  /** Code of the evidence model. */
  readonly model: string;
  /** Local date at the place of delivery. */
  readonly decidedOn: string;
  readonly reason: OverrideReason | null;
  /** Explanation by subject, where the decision names any. */
  readonly named: Readonly<Record<string, string>> | null;
  readonly findings: readonly DecidedFinding[];
}

/** Reasons that speak against what the assessment found, so that its leading explanations are not what was settled. */
const AGAINST_THE_FINDING: readonly OverrideReason[] = ['evidence read otherwise', 'proposal is wrong'];

/**
 * What a decision teaches. Explanations that it names are settled, and only those; otherwise the leading ones are, unless the decision
 * read the evidence otherwise or called the proposal wrong.
 * @returns undefined where nothing was settled
 */
export function lessonOf(decided: DecidedFindings): Lesson | undefined {
  const { claim, model, decidedOn, reason, named, findings } = decided;
  const settled =
    named ??
    (reason !== null && AGAINST_THE_FINDING.includes(reason)
      ? {}
      : Object.fromEntries(findings.map(({ subject, leading }) => [subject, leading])));
  if (Object.keys(settled).length === 0) return undefined;
  const seen = new Map(findings.flatMap(({ evidence }) => evidence.map((one) => [one.observation, one.sighting])));
  const ids = (wanted: string): string[] => [...seen].filter(([, sighting]) => sighting === wanted).map(([id]) => id);
  return {
    format: 'lesson/1',
    claim,
    model,
    decidedOn,
    present: ids('present'),
    absent: ids('absent'),
    explanations: settled,
    named: named !== null,
  };
}

/** What is wrong with the explanations that a decision names: each must be one of a finding of the assessment. */
export function explanationFaults(
  findings: readonly { readonly subject: string; readonly explanations: readonly { readonly id: string }[] }[],
  named: Readonly<Record<string, unknown>>,
): Fault[] {
  if (Object.keys(named).length === 0)
    return [{ pointer: '#/explanations', detail: 'Name the explanation of a finding, or leave this out.' }];
  return Object.entries(named).flatMap(([subject, explanation]) => {
    const finding = findings.find((one) => one.subject === subject);
    const at = pointer('#/explanations', subject);
    if (finding === undefined) {
      const have = findings.map((one) => one.subject).join(', ') || 'none';
      return [{ pointer: at, detail: `The assessment has no finding on "${subject}". It has: ${have}.` }];
    }
    if (finding.explanations.some(({ id }) => id === explanation)) return [];
    return [{ pointer: at, detail: `"${String(explanation)}" is not an explanation of "${subject}".` }];
  });
}
