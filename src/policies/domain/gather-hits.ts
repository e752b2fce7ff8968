import { Outcomes, type CompiledTable, type Decided, type OutcomeKnown } from './compiled-table.js';
import type { Candidate } from './run-table.js';
import { Decimal, resultFault, type Known } from './values.js';

/**
 * What a table that counts every hit comes to: a list for each outcome, or one number under an aggregate.
 * @param standing rules that hold or may hold, in the order of the result
 * @returns undefined where a rule that may hold would change it
 */
export function gathered(table: CompiledTable, standing: readonly Candidate[]): Decided | undefined {
  const sure = standing.filter(({ unknown }) => !unknown).map(({ place }) => place);
  const result = gatheredFrom(table, sure);
  // A rule that may hold does not matter where its value is no new extreme or adds nothing; alone or with others.
  const matters = standing.some(
    ({ place, unknown }) =>
      unknown && (sure.length === 0 || keyOfResult(gatheredFrom(table, [...sure, place])) !== keyOfResult(result)),
  );
  return matters ? undefined : result;
}

function keyOfResult(result: Decided): string {
  return result.kind === 'decided' ? result.outcomes.key : result.kind;
}

function gatheredFrom(table: CompiledTable, places: readonly number[]): Decided {
  if (places.length === 0) {
    return table.otherwise ? { kind: 'decided', outcomes: table.otherwise.outcomes, rules: [] } : { kind: 'no rule' };
  }
  const known = new Map<string, OutcomeKnown>();
  for (const name of table.gives.keys()) {
    // Safe: what one rule of such a table gives is an element, read by the type of an element.
    const values = places.map((place) => (table.rules[place]!.outcomes.known.get(name) ?? null) as Known);
    known.set(name, table.aggregate ? number(table, name, values) : values);
  }
  return { kind: 'decided', outcomes: new Outcomes(known, table.gives), rules: places };
}

/** @throws RangeError where the number is outside its declared type */
function number(table: CompiledTable, name: string, values: readonly Known[]): Known {
  const result = table.aggregate ? aggregated(table.aggregate, values) : null;
  const type = table.gives.get(name);
  const wrong = type && resultFault(type, result);
  if (wrong !== undefined) throw new RangeError(`decision "${table.decision}" gave "${name}": ${wrong}`);
  return result;
}

function aggregated(aggregate: NonNullable<CompiledTable['aggregate']>, values: readonly Known[]): Known {
  if (aggregate === 'count') return new Decimal(values.length);
  const numbers = values.filter((value): value is Decimal => value instanceof Decimal);
  switch (aggregate) {
    case 'sum':
      return numbers.reduce((sum, each) => sum.plus(each), new Decimal(0));
    case 'min':
      return Decimal.min(...numbers);
    case 'max':
      return Decimal.max(...numbers);
  }
}
