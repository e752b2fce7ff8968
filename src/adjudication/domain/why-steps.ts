import { minorDigits } from '../../kernel/currency.js';
import { money, moneyDecimal } from '../../kernel/money.js';
import type { Model } from '../../catalogue/catalogue.contract.js';
import type { EvidenceModel } from '../../diagnosis/diagnosis.contract.js';
import type { Checklist } from '../../inspections/inspections.contract.js';
import type { CompiledPolicy, Evaluation, FiredRule } from '../../policies/policies.contract.js';
import type { Assessment, ClaimFile } from '../adjudication.contract.js';
import type { HolidayLookup } from './claim-clocks.js';
import type { PolicyQuestion } from './policy-run.js';

/** What an assessment came from: the claim, its documents and every question that was put to the policy. */
export interface Assessed {
  readonly claim: ClaimFile;
  readonly assessment: Assessment;
  readonly questions: readonly PolicyQuestion[];
  readonly model: Model;
  readonly checklist: Checklist;
  readonly evidenceModel: EvidenceModel;
  readonly policy: CompiledPolicy;
  readonly isHoliday: HolidayLookup;
  /** The day that chooses the versions of dated parameters. */
  readonly on: string;
}

/** One step of the reasons for a value, from the value down to what it rests on. */
export interface WhyStep {
  readonly says: string;
  /** Place in the assessment that it speaks of, as a JSON pointer. */
  readonly at?: string;
  /** `decision/rule` */
  readonly rule?: string;
  /** Cells of the rule that had to hold, with the values that met them. */
  readonly cells?: FiredRule['cells'];
  readonly parameter?: { readonly name: string; readonly value: string; readonly from: string };
  /** Weight in decibans for the leading explanation, of a sign that the crew saw or did not see. */
  readonly observation?: {
    readonly id: string;
    readonly item: string;
    readonly sighting: 'present' | 'absent';
    readonly decibans: number;
    readonly counted: boolean;
  };
  readonly source?: string;
}

/** A rule that fired. */
export function ruleStep({ decision, rule, because, source, cells }: FiredRule): WhyStep {
  const held = cells.map(({ column, cell, value }) => `${column} ${cell} (it is ${String(value)})`);
  const words = because === undefined ? `Rule ${rule} of "${decision}" speaks.` : `${because.replace(/[.!?]$/, '')}.`;
  return {
    says: `${words} It holds ${held.length === 0 ? 'without a condition' : `because ${held.join(', ')}`}.`,
    rule: `${decision}/${rule}`,
    cells,
    ...(source === undefined ? {} : { source }),
  };
}

/** A dated parameter as it stood on the day; none where the policy has no such parameter or no value yet. */
export function parameterStep(name: string, { policy, on }: Assessed): WhyStep[] {
  const dated = policy.document.parameters[name]?.values.findLast(({ from }) => from <= on);
  const value = policy.parameter(name, on);
  if (dated === undefined || value === undefined) return [];
  const unit = policy.document.parameters[name]?.unit;
  return [
    {
      says: `"${name}" is ${value}${unit === undefined ? '' : ` ${unit}`} from ${dated.from} on. ${dated.because ?? ''}`.trim(),
      parameter: { name, value, from: dated.from },
      ...(dated.source === undefined ? {} : { source: dated.source }),
    },
  ];
}

/** Everything that one answer of the policy rests on: the rules that fired and the dated parameters that they read. */
export function evaluationSteps({ fired, parameters, needs }: Evaluation, of: Assessed): WhyStep[] {
  return [
    ...fired.map(ruleStep),
    ...parameters.flatMap(({ name }) => parameterStep(name, of)),
    ...needs.map(({ fact, ask }) => ({ says: `Not known: ${fact}. ${ask ?? `What is the ${fact}?`}` })),
  ];
}

/** What the policy answered about a matter when a decision was asked for, with certain facts. */
export function answerOf(
  of: Assessed,
  about: string,
  decision: string,
  facts: Readonly<Record<string, string>> = {},
): Evaluation | undefined {
  return of.questions.find(
    (question) =>
      question.of.about === about &&
      question.decisions.includes(decision) &&
      Object.entries(facts).every(([name, value]) => question.of.fact(name) === value),
  )?.evaluation;
}

/** Steps of the answer that `answerOf` finds; none where the question was never put. */
export function answerSteps(
  of: Assessed,
  about: string,
  decision: string,
  facts: Readonly<Record<string, string>> = {},
): WhyStep[] {
  const evaluation = answerOf(of, about, decision, facts);
  return evaluation === undefined ? [] : evaluationSteps(evaluation, of);
}

/** "123.45 USD"; minor units as they are where the currency is none. */
export function amount(minor: number, { claim }: Assessed): string {
  const { currency } = claim.order;
  return minorDigits(currency) === undefined ? String(minor) : `${moneyDecimal(money(minor, currency))} ${currency}`;
}

/** "98.4 %" */
export function percent(probability: number): string {
  return `${(probability * 100).toPrecision(4).replace(/\.?0+$/, '')} %`;
}

/** A list as the sum of its amounts, one step each. */
export function sumSteps(
  at: string,
  lines: readonly { readonly says: string; readonly amountMinor: number; readonly working: string }[],
  of: Assessed,
): WhyStep[] {
  return lines.map((line, index) => ({
    says: `${line.says}: ${amount(line.amountMinor, of)} (${line.working}).`,
    at: `${at}/${index}`,
  }));
}
