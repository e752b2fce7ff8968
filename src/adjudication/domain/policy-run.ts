import type {
  CompiledPolicy,
  Evaluation,
  Facts,
  FiredRule,
  OutcomeValue,
  PolicyCase,
  PolicyDocument,
} from '../../policies/policies.contract.js';
import type { Need } from '../adjudication.contract.js';

/** Decisions and outcomes that an assessment asks of every policy. */
export const DECISIONS_ASKED: Readonly<Record<string, readonly string[]>> = {
  notice: ['notice'],
  responsibility: ['mode', 'party'],
  'party for origin': ['answers'],
  'remedy option': ['admissible', 'rank'],
  terms: ['price percent', 'tax', 'delivery', 'use deduction', 'restocking percent', 'allowance percent', 'pro rata'],
  safety: ['hold', 'report'],
};

/** The policy and the claim do not fit: a fact has a type or value that the policy does not declare. */
export class PolicyMisfit extends Error {
  override readonly name = 'PolicyMisfit';
}

/** Outcomes of one evaluation that the caller asked for, with the rules behind them. */
export interface Asked {
  readonly outcomes: Readonly<Record<string, OutcomeValue>>;
  readonly fired: readonly FiredRule[];
  /** Facts without which the decisions cannot be made. */
  readonly needs: Evaluation['needs'];
}

/** Facts of one matter as the policy reads them, read once for all that is asked of them. */
export class KnownCase {
  /**
   * @param given facts by layers, the last ones on top
   * @param about subject of the matter, where the facts are those of one
   */
  constructor(
    readonly known: PolicyCase,
    readonly given: readonly Facts[],
    readonly about: string | undefined,
  ) {}

  /** The value of a fact as it was given; undefined where nobody knows it. */
  fact(name: string): Facts[string] | undefined {
    return this.given.findLast((facts) => Object.hasOwn(facts, name))?.[name];
  }
}

/** A question that was put to the policy, and its answer. */
export interface PolicyQuestion {
  readonly of: KnownCase;
  readonly decisions: readonly string[];
  readonly evaluation: Evaluation;
}

/** Runs one policy over the matters of one claim and keeps what fired and what it still needs. */
export class PolicyRun {
  private readonly fired = new Map<string, Set<string>>();
  private readonly declared: ReadonlySet<string>;
  /** Every question in the order in which it was put, for whoever asks why. */
  readonly questions: PolicyQuestion[] = [];
  private readonly wanted = new Map<string, { ask: string; decisions: Set<string> }>();

  /** @param on date by which versions of dated parameters are chosen */
  constructor(
    readonly policy: CompiledPolicy,
    readonly on: string,
  ) {
    this.declared = declaredFacts(policy.document);
  }

  /**
   * Reads facts once, for several questions. Facts that the policy does not declare are not shown to it.
   * @throws PolicyMisfit when a fact has a value outside its declaration.
   */
  about(facts: Facts): KnownCase {
    return new KnownCase(
      fitting(() => this.policy.caseOf(this.on, this.shown(facts))),
      [facts],
      undefined,
    );
  }

  /** The same matter with more facts, or with other values of the same ones. @throws PolicyMisfit as `about` does */
  with(matter: KnownCase, facts: Facts, about = matter.about): KnownCase {
    const known = fitting(() => matter.known.with(this.shown(facts)));
    return new KnownCase(known, [...matter.given, facts], about);
  }

  /**
   * Evaluates decisions in the order given.
   * @throws PolicyMisfit when a fact has a value outside its declaration.
   */
  ask(facts: Facts | KnownCase, decisions: readonly string[]): Asked {
    const asked = this.look(facts, decisions);
    for (const { decision, rule } of asked.fired) {
      const rules = this.fired.get(decision) ?? new Set<string>();
      this.fired.set(decision, rules.add(rule));
    }
    return asked;
  }

  /** The same for what does not bear on the outcome, such as the cost of a barred option: what fires is not kept. */
  look(facts: Facts | KnownCase, decisions: readonly string[]): Asked {
    const of = facts instanceof KnownCase ? facts : this.about(facts);
    const evaluation = fitting(() => of.known.evaluate(decisions));
    this.questions.push({ of, decisions, evaluation });
    const { outcomes, fired, needs } = evaluation;
    return { outcomes, fired, needs };
  }

  /** Notes that an outcome could not be had for want of these facts. */
  want(needs: Evaluation['needs']): void {
    for (const { fact, ask, decision } of needs) {
      const known = this.wanted.get(fact) ?? { ask: ask ?? `What is the ${fact}?`, decisions: new Set<string>() };
      known.decisions.add(decision);
      this.wanted.set(fact, known);
    }
  }

  /** What was wanted, in the order in which it first was. */
  needs(): Need[] {
    return [...this.wanted].map(([what, { ask, decisions }]) => ({
      what,
      ask,
      why: `The policy cannot settle ${[...decisions].join(', ')} without it.`,
    }));
  }

  private shown(facts: Facts): Facts {
    const shown: Record<string, Facts[string]> = {};
    for (const name in facts) {
      const value = facts[name];
      if (value !== undefined && this.declared.has(name)) shown[name] = value;
    }
    return shown;
  }

  /** `decision/rule` of every rule that fired, by decision in the policy's order, without repeats. */
  rules(): string[] {
    return this.policy.document.decisions.flatMap(({ id }) =>
      [...(this.fired.get(id) ?? [])].map((rule) => `${id}/${rule}`),
    );
  }
}

function fitting<T>(work: () => T): T {
  try {
    return work();
  } catch (error) {
    if (error instanceof RangeError) throw new PolicyMisfit(error.message);
    // Rules in conflict are a fault of the policy that a person must mend; the claim waits for that, and says which rules they are.
    if (error instanceof Error && error.name === 'PolicyConflict') throw new PolicyMisfit(sentenceEnd(error.message));
    throw error;
  }
}

function sentenceEnd(words: string): string {
  return words.replace(/\.$/, '');
}

/** Documents never change while they are in use, so their names are laid out once for each. */
const DECLARED = new WeakMap<PolicyDocument, ReadonlySet<string>>();

function declaredFacts(document: PolicyDocument): ReadonlySet<string> {
  const declared = DECLARED.get(document) ?? new Set(Object.keys(document.facts));
  DECLARED.set(document, declared);
  return declared;
}

/** Decisions and outcomes that a policy lacks, as sentences. */
export function missingDecisions({ document }: CompiledPolicy): readonly string[] {
  const missing = MISSING.get(document) ?? decisionsMissing(document);
  MISSING.set(document, missing);
  return missing;
}

const MISSING = new WeakMap<PolicyDocument, readonly string[]>();

function decisionsMissing(document: PolicyDocument): string[] {
  const decisions = new Map(document.decisions.map((decision) => [decision.id, decision]));
  return Object.entries(DECISIONS_ASKED).flatMap(([id, outcomes]) => {
    const gives = decisions.get(id)?.gives;
    if (gives === undefined) return [`The policy has no decision "${id}".`];
    return outcomes
      .filter((outcome) => !Object.hasOwn(gives, outcome))
      .map((outcome) => `The policy's decision "${id}" does not give "${outcome}".`);
  });
}
