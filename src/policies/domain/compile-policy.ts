import type {
  CompiledPolicy,
  CompileOutcome,
  Evaluation,
  FactType,
  Facts,
  FiredRule,
  PolicyCase,
  PolicyDocument,
  PolicyFault,
} from '../policies.contract.js';
import { contentHash } from '../../kernel/canonical-json.js';
import { Remembered } from '../../kernel/remembered.js';
import { compileDecisions, type CompiledDecision } from './compile-decisions.js';
import { meaningFaults } from './document-meaning.js';
import { shapeFaults } from './document-shape.js';
import type { Lookup } from './run-expression.js';
import { outcomesOf, runTable, type Decided } from './run-table.js';
import { Day, readNumber, readTyped, resultFault, Unknown, type Decimal, type Known, type Value } from './values.js';

/** Most faults that are reported at once; a document with more is broken in one place many times. */
const MOST_FAULTS = 200;

/** Most values of one fact, and most days, that are kept as read: prices differ from claim to claim, the rest hardly does. */
const MOST_KEPT = 1_000;

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

interface DatedValue {
  readonly from: Day;
  readonly fromText: string;
  readonly value: Decimal;
  readonly valueText: string;
}

class ReadyPolicy implements CompiledPolicy {
  readonly hash: string;
  private readonly byId: ReadonlyMap<string, CompiledDecision>;
  private readonly givenBy: ReadonlyMap<string, string>;
  private readonly dated: ReadonlyMap<string, readonly DatedValue[]>;
  private readonly unknownFacts: ReadonlyMap<string, Unknown>;
  private readonly readers: ReadonlyMap<string, FactReader>;
  private readonly days = new Remembered(MOST_KEPT, dayOf);

  constructor(
    readonly document: PolicyDocument,
    decisions: readonly CompiledDecision[],
  ) {
    this.hash = contentHash(document);
    this.byId = new Map(decisions.map((decision) => [decision.id, decision]));
    this.givenBy = new Map(decisions.flatMap(({ id, gives }) => [...gives.keys()].map((name) => [name, id] as const)));
    this.unknownFacts = new Map(Object.keys(document.facts).map((name) => [name, Unknown.fact(name)]));
    this.readers = new Map(Object.entries(document.facts).map(([name, type]) => [name, factReader(name, type)]));
    this.dated = new Map(
      Object.entries(document.parameters).map(([name, { values }]) => [name, values.flatMap(datedValue)]),
    );
  }

  evaluate(on: string, facts: Facts, decisions?: readonly string[]): Evaluation {
    return this.caseOf(on, facts).evaluate(decisions);
  }

  caseOf(on: string, facts: Facts): PolicyCase {
    return new ReadyCase(this, this.days.of(on), new KnownFacts(this.readFacts(facts)));
  }

  /** @throws RangeError on a fact that is not declared or of the wrong type */
  readFacts(facts: Facts): Map<string, Known> {
    const known = new Map<string, Known>();
    for (const name in facts) {
      const value = facts[name];
      if (value === undefined) continue;
      const reader = this.readers.get(name);
      if (!reader) throw new RangeError(`the policy declares no fact "${name}"`);
      known.set(name, reader.of(value).value);
    }
    return known;
  }

  decisionIds(): string[] {
    return [...this.byId.keys()];
  }

  parameter(name: string, on: string): string | undefined {
    return this.parameterOn(name, this.days.of(on))?.valueText;
  }

  /** The value in force on a day: the last one that has begun. Undefined before the first. */
  parameterOn(name: string, on: Day): DatedValue | undefined {
    return this.dated.get(name)?.findLast(({ from }) => from.epochDay <= on.epochDay);
  }

  isParameter(name: string): boolean {
    return this.dated.has(name);
  }

  unknownFact(name: string): Unknown {
    return this.unknownFacts.get(name) ?? Unknown.fact(name);
  }

  decision(id: string): CompiledDecision {
    const decision = this.byId.get(id);
    if (!decision) throw new RangeError(`the policy ${this.document.id} has no decision "${id}"`);
    return decision;
  }

  decisionThatGives(outcome: string): string | undefined {
    return this.givenBy.get(outcome);
  }
}

function datedValue({ from, value }: PolicyDocument['parameters'][string]['values'][number]): DatedValue[] {
  const [day, number] = [Day.parse(from), readNumber(value)];
  return day && number ? [{ from: day, fromText: from, value: number, valueText: number.toFixed() }] : [];
}

function dayOf(text: string): Day {
  const day = Day.parse(text);
  if (!day) throw new RangeError(`"${text}" is not a date like 2026-03-01`);
  return day;
}

/** Reads values of one declared fact. @throws RangeError on a value of the wrong type */
type FactReader = Remembered<Facts[string], { readonly value: Known }>;

function factReader(name: string, type: FactType): FactReader {
  return new Remembered(MOST_KEPT, (value) => {
    const read = readTyped(type, value);
    if ('wrong' in read) throw new RangeError(`fact "${name}": ${read.wrong}`);
    return read;
  });
}

/** Facts in layers: those on top replace those below. */
class KnownFacts {
  constructor(
    private readonly own: ReadonlyMap<string, Known>,
    private readonly below?: KnownFacts,
  ) {}

  get(name: string): Known | undefined {
    const known = this.own.get(name);
    return known === undefined ? this.below?.get(name) : known;
  }
}

class ReadyCase implements PolicyCase {
  constructor(
    private readonly policy: ReadyPolicy,
    private readonly on: Day,
    private readonly facts: KnownFacts,
  ) {}

  with(facts: Facts): PolicyCase {
    return new ReadyCase(this.policy, this.on, new KnownFacts(this.policy.readFacts(facts), this.facts));
  }

  evaluate(decisions?: readonly string[]): Evaluation {
    return new EvaluationRun(this.policy, this.on, this.facts).evaluate(decisions ?? this.policy.decisionIds());
  }
}

const NOTHING: Evaluation['outcomes'] = {};

/** One evaluation: remembers what has been decided and which parameters were read. */
class EvaluationRun {
  private readonly decided = new Map<string, Decided>();
  private readonly read = new Set<string>();

  constructor(
    private readonly policy: ReadyPolicy,
    private readonly on: Day,
    private readonly facts: KnownFacts,
  ) {}

  evaluate(ids: readonly string[]): Evaluation {
    for (const id of ids) this.decide(id);
    let outcomes: Evaluation['outcomes'] = NOTHING;
    const fired: FiredRule[] = [];
    const needs: { fact: string; ask?: string; decision: string }[] = [];
    const noRule: string[] = [];
    for (const [id, result] of this.decided) {
      if (result.kind === 'decided') {
        const { written } = result.outcomes;
        outcomes = outcomes === NOTHING ? written : { ...outcomes, ...written };
        if (result.fired) fired.push(result.fired);
      } else if (result.kind === 'no rule') {
        noRule.push(id);
      } else {
        for (const fact of result.facts) {
          const ask = this.policy.document.facts[fact]?.ask;
          needs.push({ fact, ...(ask === undefined ? {} : { ask }), decision: id });
        }
      }
    }
    return { outcomes, fired, needs, parameters: this.parametersRead(), noRule };
  }

  private parametersRead(): Evaluation['parameters'] {
    if (this.read.size === 0) return [];
    return Object.keys(this.policy.document.parameters).flatMap((name) => {
      const dated = this.read.has(name) ? this.policy.parameterOn(name, this.on) : undefined;
      return dated ? [{ name, from: dated.fromText, value: dated.valueText }] : [];
    });
  }

  /** Runs a decision once; decisions that it reads are run first, whether or not the caller named them. */
  private decide(id: string): Decided {
    const before = this.decided.get(id);
    if (before) return before;
    const decision = this.policy.decision(id);
    const result = this.settled('table' in decision ? runTable(decision.table, this.lookup) : this.express(decision));
    this.decided.set(id, result);
    return result;
  }

  private express(decision: Extract<CompiledDecision, { expression: unknown }>): Decided {
    const value = decision.expression(this.lookup);
    const [entry] = decision.gives;
    if (!entry) return { kind: 'no rule' };
    const [name, type] = entry;
    if (value instanceof Unknown) {
      if (value.facts.size === 0 && value.decisions.size === 0) return { kind: 'no rule' };
      return { kind: 'open', facts: [...value.facts], decisions: [...value.decisions] };
    }
    if (value === null && !type.optional) return { kind: 'no rule' };
    const wrong = resultFault(type, value);
    if (wrong !== undefined) throw new RangeError(`decision "${decision.id}" gave "${name}": ${wrong}`);
    return { kind: 'decided', outcomes: outcomesOf(new Map([[name, value]]), decision.gives) };
  }

  /** An open decision that waits for an earlier one needs what the earlier one needs; its own questions come after. */
  private settled(result: Decided): Decided {
    if (result.kind !== 'open' || result.decisions.length === 0) return result;
    const facts = new Set<string>();
    for (const id of result.decisions) {
      const earlier = this.decide(id);
      if (earlier.kind === 'open') for (const fact of earlier.facts) facts.add(fact);
    }
    return { kind: 'open', facts: [...facts], decisions: result.decisions };
  }

  private readonly lookup: Lookup = (name): Value => {
    const fact = this.facts.get(name);
    if (fact !== undefined) return fact;
    if (this.policy.isParameter(name)) {
      this.read.add(name);
      return this.policy.parameterOn(name, this.on)?.value ?? Unknown.STUCK;
    }
    const id = this.policy.decisionThatGives(name);
    if (id === undefined) return this.policy.unknownFact(name);
    const result = this.decide(id);
    if (result.kind === 'decided') return result.outcomes.known.get(name) ?? null;
    return result.kind === 'open' ? Unknown.decision(id) : Unknown.STUCK;
  };
}
