import type { Finding } from '../../diagnosis/diagnosis.contract.js';
import type { Assessment, Need, Responsibility } from '../adjudication.contract.js';
import type { KnownCase, PolicyRun } from './policy-run.js';
import type { ChosenMatter } from './remedy-proposal.js';

/** What the verdict looks at. */
export interface VerdictInputs {
  readonly findings: readonly Finding[];
  /** Codes of observations that the evidence model does not weigh. */
  readonly unweighed: readonly string[];
  readonly responsibility: readonly Responsibility[];
  readonly chosen: readonly ChosenMatter[];
  readonly needs: readonly Need[];
  readonly safety: Safety;
  readonly secondPersonAboveMinor: number | undefined;
  readonly jurisdictions: { readonly claim: string; readonly policy: string };
}

/** What the policy's safety table says over all matters. */
export interface Safety {
  readonly hold: boolean;
  readonly report: boolean;
  readonly because: readonly string[];
  /** True where the table could not be decided for some matter. */
  readonly open: boolean;
}

/** Asks the safety table for each matter; one hold holds the claim. What cannot be decided is wanted. */
export function safetyOf(factsByMatter: readonly KnownCase[], run: PolicyRun): Safety {
  const asked = factsByMatter.map((facts) => run.ask(facts, ['safety']));
  for (const { outcomes, needs } of asked) {
    if (typeof outcomes['hold'] !== 'boolean') run.want(needs);
  }
  const because = asked
    .filter(({ outcomes }) => outcomes['hold'] === true || outcomes['report'] === true)
    .flatMap(({ fired }) => fired.flatMap((rule) => (rule.because === undefined ? [] : [rule.because])));
  return {
    hold: asked.some(({ outcomes }) => outcomes['hold'] === true),
    report: asked.some(({ outcomes }) => outcomes['report'] === true),
    because: [...new Set(because)],
    open: asked.some(({ outcomes }) => typeof outcomes['hold'] !== 'boolean'),
  };
}

/** Whether the service may propose by itself, and in sentences why not. */
export function verdictOf(inputs: VerdictInputs): Pick<Assessment, 'verdict' | 'reasons'> {
  const reasons = [...reasonsOutsidePolicy(inputs.findings, inputs.unweighed), ...reasonsOfPolicy(inputs)];
  return { verdict: reasons.length === 0 ? 'proposed' : 'to a person', reasons };
}

/** What stands against a proposal whatever the policy says: findings that are not settled, signs that nobody weighs. */
export function reasonsOutsidePolicy(findings: readonly Finding[], unweighed: readonly string[]): string[] {
  return [
    ...findings.flatMap(({ title, reasons, verdict }) =>
      verdict === 'settled' ? [] : reasons.map((reason) => `${title.en}: ${reason}`),
    ),
    ...findings.flatMap(hazardLeftOpen),
    ...unweighed.map(
      (code) =>
        `The checklist yields "${code}", which the evidence model does not weigh; the two do not fit each other.`,
    ),
  ];
}

/** What stands against a proposal by the policy: nobody named, no remedy, a hold, something that must be known. */
export function reasonsOfPolicy(inputs: Omit<VerdictInputs, 'findings' | 'unweighed'>): string[] {
  return [
    ...inputs.responsibility
      .filter(({ mode }) => mode === 'unassigned')
      .map(({ about, because }) => `Nobody is named to answer for ${about}. ${because}`),
    ...inputs.chosen
      .filter(({ own }) => own === undefined)
      .map(({ matter }) => `The policy admits no remedy for ${matter.about}.`),
    ...safetyReasons(inputs.safety),
    ...inputs.needs.map(({ ask }) => `More must be known: ${ask}`),
    ...(inputs.secondPersonAboveMinor === undefined
      ? ['The policy names no amount above which a second person must agree, so every amount needs one.']
      : []),
    ...jurisdictionReasons(inputs.jurisdictions),
  ];
}

/** An explanation that may hurt someone and that is not far behind is said aloud, even where a harmless one leads. */
const HAZARD_FROM = 0.05;

function hazardLeftOpen(finding: Finding): string[] {
  if (finding.verdict === 'settled' || finding.explanations[0]?.severity === 'unsafe') return [];
  const hazard = finding.explanations.find(
    ({ severity, probability }) => severity === 'unsafe' && probability >= HAZARD_FROM,
  );
  if (hazard === undefined) return [];
  const percent = (hazard.probability * 100).toFixed(0);
  return [
    `${finding.title.en}: "${hazard.fault}" may hurt someone and is not ruled out (${percent} %). Treat the unit as unsafe until a person has looked.`,
  ];
}

function safetyReasons(safety: Safety): string[] {
  const why = safety.because.length === 0 ? '' : ` ${safety.because.join(' ')}`;
  return [
    ...(safety.hold ? [`Safety hold: nothing is settled until a person has looked.${why}`] : []),
    ...(safety.report
      ? ['A person decides at once whether this must be reported as a hazard, with licensed advice.']
      : []),
    ...(safety.open
      ? ['The policy could not decide whether this is a safety matter; treat it as one until it can.']
      : []),
  ];
}

function jurisdictionReasons(jurisdictions: VerdictInputs['jurisdictions']): string[] {
  const { claim, policy } = jurisdictions;
  if (claim === policy || claim.startsWith(`${policy}-`)) return [];
  return [`The policy was written for ${policy}, but the goods were delivered in ${claim}.`];
}
