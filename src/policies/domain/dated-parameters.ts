import type { PolicyDocument } from '../policies.contract.js';
import type { ParameterUsed } from '../trace.contract.js';
import type { Lookup } from './run-expression.js';
import { Day, readNumber, Unknown, type Decimal } from './values.js';

/** A value of a parameter with the day from which it holds. */
export interface DatedValue {
  readonly from: Day;
  readonly value: Decimal;
  readonly used: ParameterUsed;
}

/** The dated parameters of a document. */
export class DatedParameters {
  private readonly dated: ReadonlyMap<string, readonly DatedValue[]>;

  constructor(parameters: PolicyDocument['parameters']) {
    this.dated = new Map(
      Object.entries(parameters).map(([name, { values }]) => [name, values.flatMap((one) => datedValue(name, one))]),
    );
  }

  has(name: string): boolean {
    return this.dated.has(name);
  }

  names(): string[] {
    return [...this.dated.keys()];
  }

  /** The value in force on a day: the last one that has begun. Undefined before the first, and for any other name. */
  on(name: string, day: Day): DatedValue | undefined {
    return this.dated.get(name)?.findLast(({ from }) => from.epochDay <= day.epochDay);
  }

  /** Looks parameters up as they are on a day. Before its first date a parameter is stuck; any other name is not known. */
  lookupOn(day: Day): Lookup {
    return (name) => (this.dated.has(name) ? (this.on(name, day)?.value ?? Unknown.STUCK) : Unknown.fact(name));
  }

  /** Days on which some of these parameters change, rising, as days since 1970-01-01. */
  changesOf(names: Iterable<string>): number[] {
    const days = [...names].flatMap((name) => (this.dated.get(name) ?? []).map(({ from }) => from.epochDay));
    return [...new Set(days)].toSorted((a, b) => a - b);
  }
}

function datedValue(
  name: string,
  { from, value }: PolicyDocument['parameters'][string]['values'][number],
): DatedValue[] {
  const [day, number] = [Day.parse(from), readNumber(value)];
  return day && number ? [{ from: day, value: number, used: { name, from, value: number.toFixed() } }] : [];
}
