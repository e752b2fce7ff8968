import type { Facts, OutcomeValue } from '../policies.contract.js';
import type { FactChange } from '../trace.contract.js';
import { exampleOf } from './cut-column.js';
import { EvaluationRun } from './evaluation-run.js';
import type { FactSheet } from './fact-sheet.js';
import { PolicyConflict } from './policy-conflict.js';
import type { ReadyDecisions } from './ready-decisions.js';
import { writeValue } from './values.js';

/** Most trials of changed facts for one question; a trial takes a few microseconds. */
const MOST_TRIALS = 20_000;
/** Most values that are tried for one fact. */
const MOST_VALUES = 40;
/** Most facts that are tried together in twos. */
const MOST_IN_PAIRS = 16;

interface Wish {
  readonly name: string;
  readonly value: OutcomeValue;
  /** Facts to try first. */
  readonly failing: readonly string[];
}

interface FactValues {
  readonly fact: string;
  readonly values: readonly Facts[string][];
}

/**
 * The fewest facts that would have to be different for an outcome, tried out by running the decision: one fact, then two, then as
 * many as the failing cells name. Values come from the atoms of the columns, those next to the present value first.
 * @param place of the decision
 * @returns undefined where none was found
 */
export function nearestChange(run: EvaluationRun, place: number, wish: Wish): FactChange[] | undefined {
  const search = new ChangeSearch(run, place, wish);
  const found = search.one() ?? search.two() ?? search.many();
  return found && Object.entries(found).map(([fact, becomes]) => changeOf(run, fact, becomes));
}

function changeOf({ ready, sheet }: EvaluationRun, fact: string, becomes: OutcomeValue): FactChange {
  const place = ready.facts.placeOf(fact);
  const known = place !== undefined && sheet.raw[place] !== undefined;
  return { fact, ...(known ? { was: ready.facts.written(sheet, place) } : {}), becomes };
}

class ChangeSearch {
  private readonly tried: readonly FactValues[];
  private trials = 0;

  constructor(
    private readonly run: EvaluationRun,
    private readonly place: number,
    private readonly wish: Wish,
  ) {
    this.tried = this.valuesToTry();
  }

  one(): Facts | undefined {
    for (const { fact, values } of this.tried) {
      for (const value of values) {
        const facts = { [fact]: value };
        if (this.gives(facts)) return facts;
      }
    }
    return undefined;
  }

  two(): Facts | undefined {
    const some = this.tried.slice(0, MOST_IN_PAIRS);
    for (const [at, first] of some.entries()) {
      for (const second of some.slice(at + 1)) {
        const found = this.pair(first, second);
        if (found) return found;
        if (this.trials >= MOST_TRIALS) return undefined;
      }
    }
    return undefined;
  }

  private pair(first: FactValues, second: FactValues): Facts | undefined {
    for (const one of first.values) {
      for (const other of second.values) {
        const facts = { [first.fact]: one, [second.fact]: other };
        if (this.gives(facts)) return facts;
      }
    }
    return undefined;
  }

  /** Changes what fails in each rule that would give the value, one accepted value for each cell. */
  many(): Facts | undefined {
    let best: Record<string, Facts[string]> | undefined;
    for (const facts of this.changesByRule()) {
      if (best && Object.keys(best).length <= Object.keys(facts).length) continue;
      if (this.gives(facts)) best = facts;
    }
    return best;
  }

  private changesByRule(): Record<string, Facts[string]>[] {
    const decision = this.run.ready.all[this.place]!;
    if (!('table' in decision)) return [];
    const of = decision.table;
    return of.table.rules.flatMap(({ outcomes, cells }) => {
      if (JSON.stringify(outcomes.written[this.wish.name]) !== JSON.stringify(this.wish.value)) return [];
      const facts: Record<string, Facts[string]> = {};
      for (const cell of cells) {
        const column = of.table.columns[cell.place]!;
        const isFact = of.facts[cell.place] !== undefined;
        if (cell.run(column.run(this.run.lookup), this.run.lookup) === true) continue;
        const values = this.tried.find(({ fact }) => isFact && fact === column.name)?.values ?? [];
        const met = values.find((value) => this.meets(column.name!, value, cell.run));
        if (met === undefined) return [];
        facts[column.name!] = met;
      }
      return [facts];
    });
  }

  private meets(
    fact: string,
    value: Facts[string],
    run: (value: never, lookup: EvaluationRun['lookup']) => unknown,
  ): boolean {
    const sheet = this.changed({ [fact]: value });
    const place = this.run.ready.facts.placeOf(fact);
    const known = sheet && place !== undefined ? this.run.ready.facts.known(sheet, place) : undefined;
    return known !== undefined && run(known as never, this.run.lookup) === true;
  }

  /** Whether the decision gives the wanted value with some facts changed. */
  private gives(facts: Facts): boolean {
    if (this.trials >= MOST_TRIALS) return false;
    this.trials += 1;
    const sheet = this.changed(facts);
    if (!sheet) return false;
    const { ready, day } = this.run;
    try {
      const result = new EvaluationRun(ready, day, sheet).decide(this.place);
      if (result.kind !== 'decided') return false;
      return JSON.stringify(result.outcomes.written[this.wish.name]) === JSON.stringify(this.wish.value);
    } catch (error) {
      // Facts that no claim can have may well be a conflict or outside a limit; they are no answer.
      if (error instanceof PolicyConflict || error instanceof RangeError) return false;
      throw error;
    }
  }

  private changed(facts: Facts): FactSheet | undefined {
    try {
      return this.run.ready.facts.read(facts, this.run.sheet);
    } catch (error) {
      if (error instanceof RangeError) return undefined;
      throw error;
    }
  }

  /** Values of every fact that the decision reads as a column, here or through earlier decisions. */
  private valuesToTry(): FactValues[] {
    const values = new Map<string, Map<string, Facts[string]>>();
    for (const place of decisionsRead(this.run.ready, this.place)) {
      const decision = this.run.ready.all[place]!;
      if ('table' in decision) this.addValues(decision.table, values);
    }
    const order = (fact: string): number => {
      const at = this.wish.failing.indexOf(fact);
      return at === -1 ? this.wish.failing.length : at;
    };
    return [...values]
      .map(([fact, found]) => ({ fact, values: [...found.values()].slice(0, MOST_VALUES) }))
      .toSorted((a, b) => order(a.fact) - order(b.fact));
  }

  private addValues(
    of: Extract<ReadyDecisions['all'][number], { table: unknown }>['table'],
    values: Map<string, Map<string, Facts[string]>>,
  ): void {
    const columns = of.columnsOn(this.run.day);
    for (const [at, { axis }] of columns.entries()) {
      const fact = of.facts[at];
      const { name, integer } = of.table.columns[at]!;
      if (fact === undefined || name === undefined) continue;
      const now = this.run.ready.facts.written(this.run.sheet, fact);
      const known = values.get(name) ?? new Map<string, Facts[string]>();
      values.set(name, known);
      const found = axis.atoms.map((atom) => writeValue(exampleOf(atom), integer));
      for (const value of nearestFirst(found, now)) {
        if (value !== now) known.set(JSON.stringify(value), value);
      }
    }
  }
}

/** Numbers and dates by their distance from the present value; anything else as it stands, absent last. */
function nearestFirst(values: readonly Facts[string][], now: OutcomeValue): Facts[string][] {
  const measure = (value: OutcomeValue): number =>
    typeof value === 'number' ? value : typeof value === 'string' ? Number(value) || Date.parse(value) : Number.NaN;
  const here = measure(now);
  if (Number.isNaN(here)) return [...values];
  const distance = (value: Facts[string]): number => {
    const there = measure(value);
    return Number.isNaN(there) ? Number.POSITIVE_INFINITY : Math.abs(there - here);
  };
  return [...values].toSorted((a, b) => distance(a) - distance(b) || 0);
}

/** Places of a decision and of all that it reads. */
function decisionsRead(ready: ReadyDecisions, place: number): number[] {
  const found = new Set<number>();
  const left = [place];
  for (let next = left.pop(); next !== undefined; next = left.pop()) {
    if (found.has(next)) continue;
    found.add(next);
    const decision = ready.all[next]!;
    left.push(...('table' in decision ? decision.table.reads : decision.reads));
  }
  return [...found];
}
