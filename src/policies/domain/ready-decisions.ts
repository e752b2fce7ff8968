import type { FactType, FiredRule, PolicyDocument } from '../policies.contract.js';
import type { RuleName } from '../trace.contract.js';
import { cutTable } from './atom-table.js';
import type { CompiledDecision } from './compile-decisions.js';
import type { CompiledTable } from './compiled-table.js';
import { namesIn } from './constants.js';
import type { CutColumn } from './cut-column.js';
import { DatedParameters } from './dated-parameters.js';
import { FactReader } from './fact-sheet.js';
import { IndexRunner } from './index-run.js';
import type { Run } from './run-expression.js';
import { indexTable, type ColumnSource } from './table-index.js';
import { Unknown, type Day } from './values.js';

/** Most periods of one table that are kept as indexes; a table with more builds them again as they are asked for. */
const MOST_PERIODS = 16;

/** What a name means when a policy runs. */
export type NameMeaning =
  | { readonly kind: 'fact'; readonly place: number; readonly unknown: Unknown }
  | { readonly kind: 'parameter' }
  /** `place` is that of the decision that gives it. */
  | { readonly kind: 'outcome'; readonly place: number };

/** A decision that can be run on any day. */
export type ReadyDecision = { readonly id: string; readonly place: number } & (
  | { readonly table: ReadyTable }
  | {
      readonly expression: Run;
      readonly text: string;
      readonly gives: ReadonlyMap<string, FactType>;
      /** Places of the earlier decisions that it reads. */
      readonly reads: readonly number[];
      readonly parameters: readonly string[];
    }
);

/** The decisions of a document with everything they read laid out by place. */
export class ReadyDecisions {
  readonly facts: FactReader;
  readonly parameters: DatedParameters;
  readonly all: readonly ReadyDecision[];
  readonly names: ReadonlyMap<string, NameMeaning>;
  private readonly places: ReadonlyMap<string, number>;

  constructor(
    readonly document: PolicyDocument,
    decisions: readonly CompiledDecision[],
  ) {
    this.facts = new FactReader(document.facts);
    this.parameters = new DatedParameters(document.parameters);
    this.places = new Map(decisions.map(({ id }, place) => [id, place]));
    this.names = new Map<string, NameMeaning>([
      ...decisions.flatMap(({ gives }, place) =>
        Array.from(gives.keys(), (name) => [name, { kind: 'outcome', place }] as const),
      ),
      ...Object.keys(document.parameters).map((name) => [name, { kind: 'parameter' }] as const),
      ...Object.keys(document.facts).map(
        (name, place) => [name, { kind: 'fact', place, unknown: Unknown.fact(name) }] as const,
      ),
    ]);
    this.all = decisions.map((decision, place): ReadyDecision => {
      const { id, gives } = decision;
      if ('table' in decision) return { id, place, table: new ReadyTable(decision.table, this) };
      const { expression, text, names } = decision;
      const reads = [...names].flatMap((name) => {
        const meaning = this.names.get(name);
        return meaning?.kind === 'outcome' ? [meaning.place] : [];
      });
      return {
        id,
        place,
        gives,
        text,
        expression,
        reads,
        parameters: [...names].filter((name) => this.parameters.has(name)),
      };
    });
  }

  unknownFact(name: string): Unknown {
    const meaning = this.names.get(name);
    return meaning?.kind === 'fact' ? meaning.unknown : Unknown.fact(name);
  }

  /** @throws RangeError where the policy has no such decision */
  placeOf(id: string): number {
    const place = this.places.get(id);
    if (place === undefined) throw new RangeError(`the policy ${this.document.id} has no decision "${id}"`);
    return place;
  }
}

/** A table with its indexes, one for each period in which its parameters stay the same, made when first asked for. */
export class ReadyTable {
  /** Places of the earlier decisions that it reads. */
  readonly reads: readonly number[];
  /** Ranks of the rules with a cell or a column that reads a parameter. */
  readonly parameterRanks: readonly number[];
  /** Name of each rule, by its place; `otherwise` last. */
  readonly ruleNames: readonly RuleName[];
  /** For each column the place of the fact that it is, where it is no more than that. */
  readonly facts: readonly (number | undefined)[];
  /** For each rule what is said of it whenever it fires. */
  readonly firedWithoutCells: readonly Omit<FiredRule, 'cells'>[];
  readonly otherwiseFired: FiredRule;
  private readonly changes: readonly number[];
  private readonly runners = new Map<number, IndexRunner>();

  constructor(
    readonly table: CompiledTable,
    private readonly ready: ReadyDecisions,
  ) {
    this.reads = [...table.readsDecisions].map((id) => ready.placeOf(id));
    this.changes = ready.parameters.changesOf(table.readsParameters);
    this.ruleNames = [...table.rules.map(({ id }) => id), 'otherwise'].map((rule) => ({
      decision: table.decision,
      rule,
    }));
    this.facts = table.columns.map(({ name }) => {
      const meaning = name === undefined ? undefined : ready.names.get(name);
      return meaning?.kind === 'fact' ? meaning.place : undefined;
    });
    const { decision, otherwise } = table;
    this.firedWithoutCells = table.rules.map(({ id, because, source }) => ({
      decision,
      rule: id,
      ...(because === undefined ? {} : { because }),
      ...(source === undefined ? {} : { source }),
    }));
    this.otherwiseFired = {
      decision,
      rule: 'otherwise',
      ...(otherwise?.because === undefined ? {} : { because: otherwise.because }),
      cells: [],
    };
    this.parameterRanks = table.readsParameters.size === 0 ? [] : this.ranksWithParameters();
  }

  private ranksWithParameters(): number[] {
    const { columns, rules, precedence, readsParameters } = this.table;
    const reads = (part: unknown): boolean => [...namesIn(part)].some((name) => readsParameters.has(name));
    const byColumn = columns.map(({ tree }) => reads(tree));
    return Array.from(precedence.keys()).filter((rank) =>
      rules[precedence[rank]!]!.cells.some(({ place, cell }) => byColumn[place] || reads(cell)),
    );
  }

  /** The table as it is on a day. */
  on(day: Day): IndexRunner {
    const { changes } = this;
    let period = changes.length;
    while (period > 0 && changes[period - 1]! > day.epochDay) period -= 1;
    return this.runners.get(period) ?? this.runnerOf(period, day);
  }

  /** Its columns cut into atoms as they are on a day. */
  columnsOn(day: Day): CutColumn[] {
    return cutTable(this.table, this.ready.parameters.lookupOn(day));
  }

  private runnerOf(period: number, day: Day): IndexRunner {
    const parameters = this.ready.parameters.lookupOn(day);
    const index = indexTable(this.table, cutTable(this.table, parameters), (place) => this.sourceOf(place), parameters);
    const runner = new IndexRunner(index);
    if (this.runners.size >= MOST_PERIODS) this.runners.clear();
    this.runners.set(period, runner);
    return runner;
  }

  private sourceOf(column: number): ColumnSource {
    const { name } = this.table.columns[column]!;
    const meaning = name === undefined ? undefined : this.ready.names.get(name);
    if (name === undefined || !meaning || meaning.kind === 'parameter') return { kind: 'computed' };
    return { kind: meaning.kind, place: meaning.place, name };
  }
}
