import type { Evaluation, FiredRule, OutcomeValue, Verdict } from '../policies.contract.js';
import { Outcomes, type Decided, type OutcomeKnown } from './compiled-table.js';
import type { FactSheet } from './fact-sheet.js';
import type { ReadyDecision, ReadyDecisions, ReadyTable } from './ready-decisions.js';
import type { Lookup } from './run-expression.js';
import { candidatesByRow, columnValues, stopsAtFirst } from './run-table.js';
import { settle } from './settle-table.js';
import { resultFault, Unknown, writeValue, type Day, type Known, type Value } from './values.js';

const NOTHING: Evaluation['outcomes'] = {};
const NONE: readonly never[] = [];

/** One evaluation: remembers what has been decided and which parameters were read. */
export class EvaluationRun {
  /** By place of the decision. */
  readonly decided: (Decided | undefined)[] = [];
  /** Places of decisions in the order in which they were settled. */
  readonly order: number[] = [];
  private read: Set<string> | undefined;

  constructor(
    readonly ready: ReadyDecisions,
    readonly day: Day,
    readonly sheet: FactSheet,
  ) {}

  /** Runs decisions; those that they read are run first, whether or not the caller named them. @param ids absent: all */
  run(ids: readonly string[] | undefined): void {
    if (ids) for (const id of ids) this.decide(this.ready.placeOf(id));
    else for (let place = 0; place < this.ready.all.length; place += 1) this.decide(place);
  }

  verdict(): Verdict {
    const outcomes = new JoinedOutcomes();
    const rules = [];
    let needs: Verdict['needs'] = NONE;
    let noRule: readonly string[] = NONE;
    for (const place of this.order) {
      const result = this.decided[place]!;
      const decision = this.ready.all[place]!;
      if (result.kind === 'decided') {
        outcomes.add(result.outcomes.written);
        if (!('table' in decision)) continue;
        const { ruleNames } = decision.table;
        if (result.rules.length === 0) rules.push(ruleNames.at(-1)!);
        else for (const rule of result.rules) rules.push(ruleNames[rule]!);
      } else if (result.kind === 'no rule') noRule = [...noRule, decision.id];
      else needs = [...needs, ...this.needsOf(result, decision.id)];
    }
    return { outcomes: outcomes.all, rules, needs, noRule };
  }

  evaluation(): Evaluation {
    const outcomes = new JoinedOutcomes();
    const fired: FiredRule[] = [];
    const needs: Evaluation['needs'][number][] = [];
    const noRule: string[] = [];
    for (const place of this.order) {
      const result = this.decided[place]!;
      const decision = this.ready.all[place]!;
      if (result.kind === 'decided') {
        outcomes.add(result.outcomes.written);
        if ('table' in decision) this.fire(decision.table, result.rules, fired);
      } else if (result.kind === 'no rule') noRule.push(decision.id);
      else needs.push(...this.needsOf(result, decision.id));
    }
    return { outcomes: outcomes.all, fired, needs, parameters: this.parametersRead(), noRule };
  }

  private needsOf(result: Extract<Decided, { kind: 'open' }>, decision: string): Evaluation['needs'] {
    return result.facts.map((fact) => {
      const ask = this.ready.document.facts[fact]?.ask;
      return { fact, ...(ask === undefined ? {} : { ask }), decision };
    });
  }

  private fire(of: ReadyTable, rules: readonly number[], fired: FiredRule[]): void {
    if (rules.length === 0) fired.push(of.otherwiseFired);
    for (const place of rules) {
      const cells = [];
      for (const cell of of.table.rules[place]!.cells) {
        cells.push({ column: cell.column, cell: cell.text, value: this.columnWritten(of, cell.place) });
      }
      fired.push({ ...of.firedWithoutCells[place]!, cells });
    }
  }

  /** Value of a column as it travels; null also where it is not known. */
  columnWritten(of: ReadyTable, column: number): OutcomeValue {
    const fact = of.facts[column];
    if (fact !== undefined) return this.ready.facts.written(this.sheet, fact);
    const { run, integer } = of.table.columns[column]!;
    const value = run(this.lookup);
    return value instanceof Unknown ? null : writeValue(value, integer);
  }

  /** Parameters that are read on the way from the strongest rule to the one that decides, and by expressions. */
  private parametersRead(): Evaluation['parameters'] {
    for (const place of this.order) {
      const decision = this.ready.all[place]!;
      if ('table' in decision && decision.table.parameterRanks.length > 0) this.readParameters(decision.table);
    }
    if (!this.read) return [];
    const { read } = this;
    return this.ready.parameters.names().flatMap((name) => {
      const dated = read.has(name) ? this.ready.parameters.on(name, this.day) : undefined;
      return dated ? [dated.used] : [];
    });
  }

  private readParameters(of: ReadyTable): void {
    const { table } = of;
    const last = stopsAtFirst(table) ? of.on(this.day).firstSureRank(this) : table.rules.length;
    const columnValue = columnValues(table, this.recording);
    for (const rank of of.parameterRanks) {
      if (rank > last) break;
      for (const cell of table.rules[table.precedence[rank]!]!.cells) {
        if (cell.run(columnValue(cell.place), this.recording) === false) break;
      }
    }
  }

  /** Runs a decision once; decisions that it reads are run first. */
  decide(place: number): Decided {
    const before = this.decided[place];
    if (before) return before;
    const decision = this.ready.all[place]!;
    const found = 'table' in decision ? this.decideTable(decision.table) : this.express(decision);
    const result = found.kind === 'open' && found.decisions.length > 0 ? this.settled(found) : found;
    this.decided[place] = result;
    this.order.push(place);
    return result;
  }

  private decideTable(of: ReadyTable): Decided {
    const runner = of.on(this.day);
    for (const place of of.reads) if (this.decided[place] === undefined) return this.decideByRow(of);
    return runner.decide(this);
  }

  /** Rows ask for earlier decisions only as they need them, which an index cannot: it looks at all columns at once. */
  private decideByRow(of: ReadyTable): Decided {
    const { table } = of;
    const { foregone } = of.on(this.day);
    return settle(table, candidatesByRow(table, this.lookup, columnValues(table, this.lookup), foregone));
  }

  private express(decision: Extract<ReadyDecision, { expression: unknown }>): Decided {
    const value = decision.expression(decision.parameters.length > 0 ? this.recording : this.lookup);
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
    return {
      kind: 'decided',
      outcomes: new Outcomes(new Map([[name, value as OutcomeKnown]]), decision.gives),
      rules: [],
    };
  }

  /** An open decision that waits for an earlier one needs what the earlier one needs; its own questions come after. */
  private settled(result: Extract<Decided, { kind: 'open' }>): Decided {
    const facts = new Set<string>();
    for (const id of result.decisions) {
      const earlier = this.decide(this.ready.placeOf(id));
      if (earlier.kind === 'open') for (const fact of earlier.facts) facts.add(fact);
    }
    return { kind: 'open', facts: [...facts], decisions: result.decisions };
  }

  /** Looks anything up by name. */
  readonly lookup: Lookup = (name): Value => {
    const meaning = this.ready.names.get(name);
    switch (meaning?.kind) {
      case 'fact':
        return this.fact(meaning.place, name);
      case 'parameter':
        return this.ready.parameters.on(name, this.day)?.value ?? Unknown.STUCK;
      case 'outcome':
        return this.outcome(name, meaning.place);
      default:
        return Unknown.fact(name);
    }
  };

  /** The value of a fact. */
  fact(place: number, name: string): Value {
    const known = this.ready.facts.known(this.sheet, place);
    return known === undefined ? this.ready.unknownFact(name) : known;
  }

  private outcome(name: string, place: number): Value {
    const result = this.decide(place);
    if (result.kind === 'decided') return (result.outcomes.known.get(name) as Known | undefined) ?? null;
    return result.kind === 'open' ? Unknown.decision(this.ready.all[place]!.id) : Unknown.STUCK;
  }

  /** The same, remembering the parameters that are read. */
  private readonly recording: Lookup = (name): Value => {
    if (this.ready.parameters.has(name)) (this.read ??= new Set()).add(name);
    return this.lookup(name);
  };
}

/** Outcomes put together; those of a single decision stay the object that they are. */
class JoinedOutcomes {
  all: Evaluation['outcomes'] = NOTHING;
  private own: Record<string, OutcomeValue> | undefined;

  add(outcomes: Evaluation['outcomes']): void {
    if (this.all === NOTHING) {
      this.all = outcomes;
      return;
    }
    if (!this.own) {
      const own: Record<string, OutcomeValue> = {};
      for (const name in this.all) own[name] = this.all[name]!;
      this.all = this.own = own;
    }
    for (const name in outcomes) this.own[name] = outcomes[name]!;
  }
}
