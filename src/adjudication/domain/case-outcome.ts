import type { Party, Remedy } from '../../kernel/vocabulary.js';
import type { CompiledPolicy, Facts, OutcomeValue } from '../../policies/policies.contract.js';
import type { Assessment, Clock, Responsibility } from '../adjudication.contract.js';
import type { Judgement } from './judge.js';
import type { PolicyQuestion, PolicyRun } from './policy-run.js';
import { reasonsOfPolicy } from './verdict.js';

/** What a policy came to in one case, without words: what a record keeps and a rehearsal compares. Money is in minor units. */
export interface CaseOutcome {
  readonly currency: string;
  readonly remedies: readonly { readonly remedy: Remedy; readonly about: readonly string[] }[];
  readonly customerMinor: number;
  readonly costMinor: number;
  readonly responsible: readonly Pick<Responsibility, 'about' | 'mode' | 'shares' | 'amounts'>[];
  readonly demands: readonly { readonly party: Party; readonly totalMinor: number }[];
  readonly unassignedMinor: number;
  readonly customerShareMinor: number;
  /** `open` where the policy could not decide whether it is a safety matter. */
  readonly safety: { readonly hold: boolean; readonly report: boolean; readonly open: boolean };
  readonly verdict: Assessment['verdict'];
  readonly secondPersonAboveMinor: number | null;
  /** Facts that the policy still wants, by name. */
  readonly needs: readonly string[];
  /** What must be known before every clock has its end. */
  readonly clockNeeds: readonly string[];
  readonly clocks: readonly Pick<Clock, 'id' | 'state' | 'endsAt' | 'occurrence'>[];
  /** `decision/rule` of every rule that bore on it. */
  readonly rules: readonly string[];
}

/** One question that was put to the policy: what it was asked about beside the facts of the matter, and what it said. */
export interface TracedQuestion {
  readonly about?: string;
  /** Facts given on top of those of the claim and the matter: the option, the origin, the carriage. */
  readonly given: Facts;
  readonly asked: readonly string[];
  readonly outcomes: Readonly<Record<string, OutcomeValue>>;
  readonly fired: readonly {
    readonly decision: string;
    readonly rule: string;
    /** Values that met the cells, by column. */
    readonly met: Readonly<Record<string, OutcomeValue>>;
  }[];
  readonly needs: readonly string[];
  readonly noRule: readonly string[];
}

/** How a policy came to it. Rule texts, reasons and sources are in the policy, by decision and rule. */
export interface CaseTrace {
  readonly parameters: readonly { readonly name: string; readonly from: string; readonly value: string }[];
  readonly questions: readonly TracedQuestion[];
}

/** What the judgement came to. @param outside reasons outside the policy that send the claim to a person */
export function caseOutcome(
  judgement: Judgement,
  run: PolicyRun,
  around: { readonly jurisdiction: string; readonly outside: number },
): CaseOutcome {
  const { proposal, responsibility, recovery, safety, clocks, chosen, secondPersonAboveMinor } = judgement;
  const wanted = run.needs();
  const needs = [...wanted, ...clocks.needs];
  const against = reasonsOfPolicy({
    responsibility,
    chosen,
    needs,
    safety,
    secondPersonAboveMinor,
    jurisdictions: { claim: around.jurisdiction, policy: run.policy.document.jurisdiction },
  });
  return {
    currency: proposal.currency,
    remedies: proposal.chosen.map(({ remedy, about }) => ({ remedy, about })),
    customerMinor: proposal.customerTotalMinor,
    costMinor: proposal.costTotalMinor,
    responsible: responsibility.map(({ about, mode, shares, amounts }) => ({ about, mode, shares, amounts })),
    demands: recovery.demands.map(({ party, totalMinor }) => ({ party, totalMinor })),
    unassignedMinor: recovery.unassignedMinor,
    customerShareMinor: recovery.customerShareMinor,
    safety: { hold: safety.hold, report: safety.report, open: safety.open },
    verdict: around.outside === 0 && against.length === 0 ? 'proposed' : 'to a person',
    secondPersonAboveMinor: secondPersonAboveMinor ?? null,
    needs: wanted.map(({ what }) => what),
    clockNeeds: [...new Set(clocks.needs.map(({ what }) => what))],
    clocks: clocks.clocks.map(({ id, state, endsAt, occurrence }) => ({
      id,
      state,
      endsAt,
      ...(occurrence === undefined ? {} : { occurrence }),
    })),
    rules: run.rules(),
  };
}

/** Layers of facts below what a question adds: those of the claim and those of the matter. */
const LAYERS = 2;

/** Parameters that are read without a decision. */
const READ_BESIDE = ['share floor', 'use life months', 'second person above'];

/** How the judgement came about. */
export function caseTrace(judgement: Judgement, run: PolicyRun): CaseTrace {
  const questions = run.questions.map((question) => traced(question, LAYERS));
  const limits = judgement.recoveryQuestions.map((question) => traced(question, 1));
  const used = new Map<string, { readonly name: string; readonly from: string; readonly value: string }>();
  for (const { evaluation } of [...run.questions, ...judgement.recoveryQuestions]) {
    for (const one of evaluation.parameters) used.set(`${one.name} ${one.from}`, one);
  }
  for (const name of READ_BESIDE) {
    const one = parameterOn(run.policy, name, run.on);
    if (one !== undefined) used.set(`${one.name} ${one.from}`, one);
  }
  const parameters = [...used].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, one]) => one);
  return { parameters, questions: [...questions, ...limits] };
}

function traced({ of, decisions, evaluation }: PolicyQuestion, layers: number): TracedQuestion {
  const { outcomes, fired, needs, noRule } = evaluation;
  return {
    ...(of.about === undefined ? {} : { about: of.about }),
    given: Object.assign({}, ...of.given.slice(layers)) as Facts,
    asked: decisions,
    outcomes,
    fired: fired.map(({ decision, rule, cells }) => ({
      decision,
      rule,
      met: Object.fromEntries(cells.map(({ column, value }) => [column, value])),
    })),
    needs: [...new Set(needs.map(({ fact }) => fact))],
    noRule,
  };
}

function parameterOn(policy: CompiledPolicy, name: string, on: string): CaseTrace['parameters'][number] | undefined {
  const value = policy.parameter(name, on);
  const dated = policy.document.parameters[name]?.values.filter(({ from }) => from <= on);
  const from = dated
    ?.map((one) => one.from)
    .sort()
    .at(-1);
  return value === undefined || from === undefined ? undefined : { name, from, value };
}
