import type {
  CompiledPolicy,
  CompileOutcome,
  Evaluation,
  Facts,
  OutcomeValue,
  PolicyCase,
  PolicyDocument,
  PolicyFault,
  Verdict,
} from '../policies.contract.js';
import { contentHash } from '../../kernel/canonical-json.js';
import { Remembered } from '../../kernel/remembered.js';
import type { RuleName, WhyNot, WhyNotRule } from '../trace.contract.js';
import { compileDecisions, type CompiledDecision } from './compile-decisions.js';
import { traceOf } from './decision-trace.js';
import { meaningFaults } from './document-meaning.js';
import { shapeFaults } from './document-shape.js';
import { EvaluationRun } from './evaluation-run.js';
import type { FactSheet } from './fact-sheet.js';
import { ReadyDecisions } from './ready-decisions.js';
import { Day } from './values.js';
import { whyNot, whyNotRule } from './why-not.js';

/** Most faults that are reported at once; a document with more is broken in one place many times. */
const MOST_FAULTS = 200;

/** Most days that are kept as read. */
const MOST_DAYS = 1_000;

/**
 * Reads a policy document and makes it ready to run. Everything that can be known to be wrong without a claim is a fault here:
 * shape, names, dates, types, every cell. Never throws on a bad document.
 * @param document JSON of format `policy/1`
 */
export function compilePolicy(document: unknown): CompileOutcome {
  const shape = shapeFaults(document);
  if (shape.length > 0) return { ok: false, faults: shape.slice(0, MOST_FAULTS) };
  // Safe: shapeFaults has found every key present and of its kind.
  const read = document as PolicyDocument;
  const faults: PolicyFault[] = meaningFaults(read);
  const decisions = compileDecisions(read, faults);
  if (faults.length > 0) return { ok: false, faults: faults.slice(0, MOST_FAULTS) };
  return { ok: true, policy: new ReadyPolicy(read, decisions) };
}

class ReadyPolicy implements CompiledPolicy {
  private hashed: string | undefined;
  private readonly ready: ReadyDecisions;
  private readonly days = new Remembered(MOST_DAYS, dayOf);

  constructor(
    readonly document: PolicyDocument,
    decisions: readonly CompiledDecision[],
  ) {
    this.ready = new ReadyDecisions(document, decisions);
  }

  /** Worked out when it is first asked for: while a policy is typed, it is compiled at every key and nobody asks. */
  get hash(): string {
    this.hashed ??= contentHash(this.document);
    return this.hashed;
  }

  evaluate(
    on: string,
    facts: Facts,
    decisions?: readonly string[],
    options?: { readonly trace?: boolean },
  ): Evaluation {
    const run = this.begin(on, facts);
    run.run(decisions);
    const evaluation = run.evaluation();
    return options?.trace ? { ...evaluation, trace: traceOf(run) } : evaluation;
  }

  decide(on: string, facts: Facts, decisions?: readonly string[]): Verdict {
    const run = this.begin(on, facts);
    run.run(decisions);
    return run.verdict();
  }

  whyNot(on: string, facts: Facts, wanted: { readonly name: string; readonly value: OutcomeValue }): WhyNot {
    return whyNot(this.begin(on, facts), wanted);
  }

  whyNotRule(on: string, facts: Facts, rule: RuleName): WhyNotRule {
    return whyNotRule(this.begin(on, facts), rule);
  }

  caseOf(on: string, facts: Facts): PolicyCase {
    return new ReadyCase(this.ready, this.days.of(on), this.ready.facts.read(facts));
  }

  parameter(name: string, on: string): string | undefined {
    return this.ready.parameters.on(name, this.days.of(on))?.used.value;
  }

  private begin(on: string, facts: Facts): EvaluationRun {
    return new EvaluationRun(this.ready, this.days.of(on), this.ready.facts.read(facts));
  }
}

function dayOf(text: string): Day {
  const day = Day.parse(text);
  if (!day) throw new RangeError(`"${text}" is not a date like 2026-03-01`);
  return day;
}

class ReadyCase implements PolicyCase {
  constructor(
    private readonly ready: ReadyDecisions,
    private readonly on: Day,
    private readonly sheet: FactSheet,
  ) {}

  with(facts: Facts): PolicyCase {
    return new ReadyCase(this.ready, this.on, this.ready.facts.read(facts, this.sheet));
  }

  evaluate(decisions?: readonly string[]): Evaluation {
    const run = new EvaluationRun(this.ready, this.on, this.sheet);
    run.run(decisions);
    return run.evaluation();
  }
}
