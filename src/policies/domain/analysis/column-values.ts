import type { CompiledPolicy, Facts, OutcomeValue, PolicyDecision, PolicyDocument } from '../../policies.contract.js';
import { compilePolicy } from '../compile-policy.js';
import { PolicyConflict } from '../policy-conflict.js';
import { Day, readNumber, type Known } from '../values.js';
import { typeOfName } from './column-words.js';

/** What the columns of a policy's tables are for a claim. */
export interface ColumnValues {
  /** Value of what a column reads; undefined where it is not known. */
  readonly of: (expression: string) => Known | undefined;
}

/**
 * Reads columns for claims. Facts and outcomes are looked up; what is calculated is worked out by a policy of its own that has each
 * such column as a decision.
 */
export class ColumnReader {
  private readonly calculated: ReadonlyMap<string, string>;
  private readonly test: CompiledPolicy | undefined;

  constructor(private readonly policy: CompiledPolicy) {
    const { document } = policy;
    const expressions = document.decisions.flatMap(({ table }) => Object.values(table?.columns ?? {}));
    const left = [...new Set(expressions)].filter((expression) => !typeOfName(document, expression));
    this.calculated = new Map(
      left.map((expression, place) => [expression, `calculated column ${'x'.repeat(place + 1)}`]),
    );
    const outcome = left.length === 0 ? undefined : compilePolicy(withColumns(document, this.calculated));
    this.test = outcome?.ok ? outcome.policy : undefined;
  }

  /** @throws RangeError on a fact that is not declared or of the wrong type */
  read(on: string, given: Facts): ColumnValues {
    const names = new Map<string, OutcomeValue>(Object.entries(given));
    for (const { id } of this.policy.document.decisions) {
      for (const [name, value] of Object.entries(outcomesOf(this.policy, on, given, id))) names.set(name, value);
    }
    return {
      of: (expression) => {
        const decision = this.calculated.get(expression);
        const written = decision === undefined ? names.get(expression) : this.calculate(on, given, decision);
        return written === undefined ? undefined : knownOf(written);
      },
    };
  }

  private calculate(on: string, given: Facts, decision: string): OutcomeValue | undefined {
    return this.test ? outcomesOf(this.test, on, given, decision)[decision] : undefined;
  }
}

function outcomesOf(
  policy: CompiledPolicy,
  on: string,
  given: Facts,
  decision: string,
): Readonly<Record<string, OutcomeValue>> {
  try {
    return policy.evaluate(on, given, [decision]).outcomes;
  } catch (error) {
    if (error instanceof PolicyConflict || error instanceof RangeError) return {};
    throw error;
  }
}

/** Only columns of numbers have ends worth touching; one that is none makes the document faulty, and then none is calculated. */
function withColumns(document: PolicyDocument, columns: ReadonlyMap<string, string>): PolicyDocument {
  const extra = Array.from(columns, ([expression, id]): PolicyDecision => ({
    id,
    gives: { [id]: { type: 'decimal', optional: true } },
    expression,
  }));
  return { ...document, decisions: [...document.decisions, ...extra], clocks: [], examples: [] };
}

/** A value as it travels, read without its type: what looks like a number or a date is one. */
function knownOf(value: OutcomeValue): Known | undefined {
  if (typeof value === 'string') return Day.parse(value) ?? readNumber(value) ?? value;
  if (typeof value === 'number') return readNumber(value);
  return typeof value === 'boolean' || value === null ? value : undefined;
}
