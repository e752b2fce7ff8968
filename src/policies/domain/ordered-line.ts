import type { Atom } from './atoms.js';
import type { ColumnDomain } from './column-domain.js';
import type { CellTest, Expression } from './syntax.js';
import { Day, Decimal, order, type Known } from './values.js';

type OrderedDomain = Extract<ColumnDomain, { kind: 'ordered' }>;
type End = Decimal | Day;

/** Most digits that two decimals may have so that they are equal exactly where their nearest doubles are. */
export const EXACT_DIGITS = 15;

/**
 * The line of numbers or of dates, cut at the ends of all cells of a column. Place 2i + 1 is the i-th end itself, place 2i the
 * gap below it and the last place the gap above all; `atomAt` says which atom is at a place, or −1 where no value can be.
 */
export class OrderedLine {
  readonly ends: readonly End[];
  /** The ends as doubles, rising (decimal to double keeps the order, though long decimals may meet). */
  readonly keys: Float64Array;
  /** Whether some ends need more digits than a double tells apart. */
  readonly hasLongEnds: boolean;
  readonly atoms: readonly Atom[];
  readonly atomAt: Int32Array;
  /** For each place how many atoms lie below it. */
  private readonly atomsBelow: Int32Array;

  constructor(domain: OrderedDomain, found: readonly Known[]) {
    this.ends = sortedEnds([...found, domain.min ?? null, domain.max ?? null], domain.of);
    this.keys = Float64Array.from(this.ends, keyOf);
    this.hasLongEnds = this.ends.some(isLong);
    const places = this.ends.length * 2 + 1;
    this.atomAt = new Int32Array(places).fill(-1);
    this.atomsBelow = new Int32Array(places + 1);
    const atoms: Atom[] = [];
    for (let place = 0; place < places; place += 1) {
      this.atomsBelow[place] = atoms.length;
      const atom = this.atomOf(place, domain);
      if (!atom) continue;
      this.atomAt[place] = atoms.length;
      atoms.push(atom);
    }
    this.atomsBelow[places] = atoms.length;
    this.atoms = atoms;
  }

  private atomOf(place: number, domain: OrderedDomain): Atom | undefined {
    const [low, high] = place % 2 === 1 ? [] : [this.ends[place / 2 - 1], this.ends[place / 2]];
    if (place % 2 === 1) {
      const value = this.ends[(place - 1) / 2]!;
      return isInside(value, domain) && isOnGrid(value, domain) ? { kind: 'point', value } : undefined;
    }
    if (low && domain.max && order(low, domain.max) !== -1) return undefined;
    if (high && domain.min && order(high, domain.min) !== 1) return undefined;
    const example = exampleBetween(low, high, domain);
    return example && { kind: 'between', example, ...(low && { low }), ...(high && { high }) };
  }

  /** Place of a value on the line, exactly. */
  placeOf(value: End): number {
    const at = this.firstNotBelow(keyOf(value));
    return this.exactPlace(at, value);
  }

  /** Place of a value by its double, where no end has the same double; else the place of that end. */
  placeOfKey(key: number): number {
    const at = this.firstNotBelow(key);
    return at < this.keys.length && this.keys[at] === key ? at * 2 + 1 : at * 2;
  }

  private exactPlace(at: number, value: End): number {
    const key = keyOf(value);
    for (let next = at; next < this.ends.length && this.keys[next] === key; next += 1) {
      const by = order(value, this.ends[next]!);
      if (by === 0) return next * 2 + 1;
      if (by === -1) return next * 2;
      at = next + 1;
    }
    return at * 2;
  }

  private firstNotBelow(key: number): number {
    let [low, high] = [0, this.keys.length];
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (this.keys[middle]! < key) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  /**
   * Atoms that the alternatives of a cell accept, as runs from an atom to before another.
   * @returns undefined where an alternative is not a plain comparison with a number or date
   */
  rangesOf(
    tests: readonly CellTest[],
    valueOf: (part: Expression) => Known | undefined,
  ): (readonly [number, number])[] | undefined {
    const ranges: (readonly [number, number])[] = [];
    const place = (part: Expression): number | undefined => {
      const value = valueOf(part);
      return value instanceof Decimal || value instanceof Day ? this.placeOf(value) : undefined;
    };
    for (const test of tests) {
      if (test.kind === 'interval') {
        const [low, high] = [place(test.low), place(test.high)];
        if (low === undefined || high === undefined) return undefined;
        ranges.push(this.range(low + (test.lowOpen ? 1 : 0), high + (test.highOpen ? 0 : 1)));
      } else if (test.kind === 'equals' || test.kind === 'compare') {
        const at = place(test.value);
        if (at === undefined) return undefined;
        ranges.push(...this.compared(test.kind === 'equals' ? '=' : test.sign, at));
      } else return undefined;
    }
    return ranges;
  }

  private compared(sign: '<' | '<=' | '>' | '>=' | '=' | '!=', at: number): (readonly [number, number])[] {
    const last = this.atomAt.length;
    switch (sign) {
      case '<':
        return [this.range(0, at)];
      case '<=':
        return [this.range(0, at + 1)];
      case '>':
        return [this.range(at + 1, last)];
      case '>=':
        return [this.range(at, last)];
      case '=':
        return [this.range(at, at + 1)];
      case '!=':
        return [this.range(0, at), this.range(at + 1, last)];
    }
  }

  /** Atoms at places from one to before another. */
  private range(from: number, to: number): readonly [number, number] {
    return from >= to ? [0, 0] : [this.atomsBelow[from]!, this.atomsBelow[to]!];
  }
}

/** A number or date as a double that keeps the order. */
export function keyOf(value: End): number {
  return value instanceof Day ? value.epochDay : value.toNumber();
}

/** Whether a number has more digits than a double tells apart. Whole numbers that a double holds exactly do not. */
export function isLong(value: Known): boolean {
  if (!(value instanceof Decimal) || value.precision() <= EXACT_DIGITS) return false;
  return !(value.isInteger() && Number.isSafeInteger(value.toNumber()));
}

function sortedEnds(found: readonly Known[], of: 'number' | 'date'): End[] {
  const ends = found.filter((value): value is End => (of === 'date' ? value instanceof Day : value instanceof Decimal));
  const sorted = ends.toSorted((a, b) => order(a, b) ?? 0);
  return sorted.filter((value, place) => place === 0 || order(sorted[place - 1]!, value) !== 0);
}

function isInside(value: End, { min, max }: OrderedDomain): boolean {
  return !(min && order(value, min) === -1) && !(max && order(value, max) === 1);
}

function isOnGrid(value: End, { scale }: OrderedDomain): boolean {
  return value instanceof Day || scale === undefined || value.decimalPlaces() <= scale;
}

/** A value between two ends, with as few digits as can be; undefined where the column has none there. */
function exampleBetween(low: End | undefined, high: End | undefined, domain: OrderedDomain): End | undefined {
  if (domain.of === 'date') {
    const day = low instanceof Day ? low.epochDay + 1 : high instanceof Day ? high.epochDay - 1 : 0;
    return high instanceof Day && day >= high.epochDay ? undefined : new Day(day);
  }
  const most = domain.scale ?? MOST_DIGITS;
  if (!(low instanceof Decimal)) {
    return high instanceof Decimal ? high.minus(1).floor() : new Decimal(0);
  }
  for (let digits = 0; digits <= most; digits += 1) {
    const step = new Decimal(10).pow(-digits);
    const next = low.div(step).floor().plus(1).times(step);
    if (!(high instanceof Decimal) || next.lessThan(high)) return next;
  }
  return undefined;
}
const MOST_DIGITS = 33;
