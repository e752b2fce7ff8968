import type { FactType, PolicyDocument } from '../../policies.contract.js';
import { Day, Decimal, readTyped, type Known } from '../values.js';
import { factValue, isDay, isNumber, nextValue, type Column, type FactValue } from './column-words.js';
import { atomOf, valueOf } from './nice-value.js';

/** A value that a fact may be given in an example. */
export interface Candidate {
  readonly known: Known;
  readonly written: FactValue;
}

/** The days from which and before which a set of parameter values holds; a side that is absent has no end. */
export interface Days {
  readonly from?: string;
  readonly before?: string;
}

/** Most candidates of one fact; where there are more, a search that finds nothing proves nothing. */
export const MOST_CANDIDATES = 20_000;

/** Values for facts that are only calculated with. */
const ROUND_NUMBERS = [0, 1, 10, 100, 1000];

/**
 * Values of every fact that are worth trying: every one of an enum, and around every end that some cell of the policy names the
 * value itself and its neighbours, so that each part into which the tables together cut a fact has at least one.
 * @param columns every column of every table
 * @param days within which the day that governs must be
 */
export function factCandidates(
  document: PolicyDocument,
  columns: readonly Column[],
  days: Days,
): ReadonlyMap<string, readonly Candidate[]> {
  const byFact = new Map<string, Column[]>();
  for (const column of columns) {
    const { name } = column.axis;
    if (name === undefined || !Object.hasOwn(document.facts, name)) continue;
    byFact.set(name, [...(byFact.get(name) ?? []), column]);
  }
  return new Map(
    Object.entries(document.facts).map(([name, type]) => {
      const all = candidatesOf(type, byFact.get(name) ?? []);
      return [name, name === document.governedBy ? all.filter(({ known }) => isWithin(known, days)) : all];
    }),
  );
}

function isWithin(value: Known, { from, before }: Days): boolean {
  if (!isDay(value)) return false;
  const [low, high] = [from, before].map((day) => (day === undefined ? undefined : Day.parse(day)?.epochDay));
  return (low === undefined || value.epochDay >= low) && (high === undefined || value.epochDay < high);
}

function candidatesOf(type: FactType, columns: readonly Column[]): Candidate[] {
  const values = [...plainValues(type), ...columns.flatMap((column) => aroundAtoms(type, column))];
  const found = new Map<string, Candidate>();
  for (const known of values) {
    const written = factValue(known, type.type === 'integer');
    if ('value' in readTyped(type, written)) found.set(JSON.stringify(written), { known, written });
  }
  const sorted = isOrdered(type)
    ? [...found.values()].toSorted((a, b) => order(a.known, b.known))
    : [...found.values()];
  const absent: Candidate[] = type.optional ? [{ known: null, written: null }] : [];
  return [...sorted.slice(0, MOST_CANDIDATES), ...absent];
}

function isOrdered({ type }: FactType): boolean {
  return type === 'integer' || type === 'decimal' || type === 'date';
}

function order(a: Known, b: Known): number {
  if (isNumber(a) && isNumber(b)) return a.comparedTo(b);
  return isDay(a) && isDay(b) ? a.epochDay - b.epochDay : 0;
}

function plainValues(type: FactType): Known[] {
  switch (type.type) {
    case 'enum':
      return [...type.values];
    case 'boolean':
      return [true, false];
    case 'text':
      return ['anything'];
    case 'date':
      return [Day.parse('2026-01-01') ?? null];
    case 'integer':
    case 'decimal': {
      const ends = [type.min, type.max].flatMap((end) => (end === undefined ? [] : [new Decimal(end)]));
      return [...ends, ...ROUND_NUMBERS.map((number) => new Decimal(number))];
    }
  }
}

function aroundAtoms(type: FactType, column: Column): Known[] {
  return column.axis.atoms.flatMap((atom, place) => {
    if (atom.kind === 'absent') return [];
    const value = valueOf(column, place);
    if (atom.kind !== 'point') return [value];
    const near = ([-1, 1] as const).map((direction) => nextValue(type, value, direction) ?? besides(value, direction));
    return [value, ...near.filter((each) => each !== undefined)];
  });
}

/** A value a hundredth away, for numbers that have no next one. */
function besides(value: Known, direction: 1 | -1): Known | undefined {
  return isNumber(value) ? value.plus(direction * 0.01) : undefined;
}

/** Which atom of a column each candidate of its fact is in; undefined where the column cannot have it. */
export function atomsOfCandidates(column: Column, candidates: readonly Candidate[]): (number | undefined)[] {
  return candidates.map(({ known }) => atomOf(column, known));
}
