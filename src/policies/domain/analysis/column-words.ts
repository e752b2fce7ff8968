import type { FactType, Facts, PolicyDocument } from '../../policies.contract.js';
import type { Atom, Axis } from '../atoms.js';
import { Day, Decimal, type Known } from '../values.js';
import { runs } from './space.js';

/** What a column is: its cut, and the declared type of the fact or outcome that it reads, where it is no more than a name. */
export interface Column {
  readonly axis: Axis;
  readonly type?: FactType;
}

/** A stretch of an ordered column; a side without an end goes as far as the column does. */
export interface Stretch {
  readonly low?: End;
  readonly high?: End;
}

interface End {
  readonly value: Known;
  readonly open: boolean;
}

/** Declared type of a fact, outcome or parameter. */
export function typeOfName(document: PolicyDocument, name: string): FactType | undefined {
  if (Object.hasOwn(document.facts, name)) return document.facts[name];
  const parameter = Object.hasOwn(document.parameters, name) ? document.parameters[name] : undefined;
  if (parameter) return { type: parameter.type };
  return document.decisions.find(({ gives }) => Object.hasOwn(gives, name))?.gives[name];
}

export function columnOf(document: PolicyDocument, axis: Axis): Column {
  const type = axis.name === undefined ? undefined : typeOfName(document, axis.name);
  return type ? { axis, type } : { axis };
}

/** A set of atoms of a column in words: `defect is frame or leg`, `days since delivery is 8 to 730`. */
export function conditionWords(column: Column, atoms: readonly number[]): string {
  const name = column.axis.expression;
  const absent = atoms.some((atom) => column.axis.atoms[atom]?.kind === 'absent');
  const known = atoms.filter((atom) => column.axis.atoms[atom]?.kind !== 'absent');
  if (known.length === 0) return `${name} is absent`;
  const all = known.length === knownCount(column.axis);
  const said = all ? 'given' : column.axis.kind === 'set' ? setWords(column, known) : stretchesWords(column, known);
  return `${name} is ${said}${absent ? ' or absent' : ''}`;
}

function knownCount({ atoms }: Axis): number {
  return atoms.filter(({ kind }) => kind !== 'absent').length;
}

function setWords(column: Column, atoms: readonly number[]): string {
  const left = column.axis.atoms.flatMap((atom, place) =>
    atom.kind === 'absent' || atoms.includes(place) ? [] : [place],
  );
  const other = atoms.some((atom) => column.axis.atoms[atom]?.kind === 'between');
  if (other || (left.length < atoms.length && atoms.length > 3)) {
    return `other than ${listed(left.map((atom) => valueWords(column, column.axis.atoms[atom])))}`;
  }
  return listed(atoms.map((atom) => valueWords(column, column.axis.atoms[atom])));
}

function valueWords(column: Column, atom: Atom | undefined): string {
  if (atom?.kind !== 'point') return 'anything else';
  return String(written(column, atom.value));
}

function stretchesWords(column: Column, atoms: readonly number[]): string {
  return listed(stretches(column, atoms).map((stretch) => stretchWords(column, stretch)));
}

function stretchWords(column: Column, { low, high }: Stretch): string {
  const say = (end: End): string => String(written(column, end.value));
  if (low && high) {
    if (!low.open && !high.open) return say(low) === say(high) ? say(low) : `${say(low)} to ${say(high)}`;
    const from = low.open ? `more than ${say(low)}` : `${say(low)} or more`;
    return `${from} and ${high.open ? 'less than' : 'up to'} ${say(high)}`;
  }
  const day = isDay(low?.value ?? high?.value);
  if (low) return low.open ? `more than ${say(low)}` : `${say(low)} or ${day ? 'later' : 'more'}`;
  if (high) return high.open ? `less than ${say(high)}` : `${say(high)} or ${day ? 'earlier' : 'less'}`;
  return 'given';
}

/** Words joined as in `a, b or c`. */
export function listed(words: readonly string[], last = 'or'): string {
  if (words.length < 2) return words.join('');
  return `${words.slice(0, -1).join(', ')} ${last} ${words.at(-1)}`;
}

/** Unbroken stretches of known values; whole numbers and dates have their ends included. */
export function stretches(column: Column, atoms: readonly number[]): Stretch[] {
  const last = knownCount(column.axis) - 1;
  return runs(atoms.filter((atom) => column.axis.atoms[atom]?.kind !== 'absent')).map(([first, end]) => {
    const low = first === 0 ? undefined : lowEnd(column.axis.atoms[first]!);
    const high = end === last ? undefined : highEnd(column.axis.atoms[end]!);
    return {
      ...(low && { low: closed(column, low, 1) }),
      ...(high && { high: closed(column, high, -1) }),
    };
  });
}

function lowEnd(atom: Atom): End | undefined {
  if (atom.kind === 'point') return { value: atom.value, open: false };
  return atom.kind === 'between' && atom.low !== undefined ? { value: atom.low, open: true } : undefined;
}

function highEnd(atom: Atom): End | undefined {
  if (atom.kind === 'point') return { value: atom.value, open: false };
  return atom.kind === 'between' && atom.high !== undefined ? { value: atom.high, open: true } : undefined;
}

function closed(column: Column, end: End, step: 1 | -1): End {
  if (!end.open) return end;
  const value = nextValue(column.type, end.value, step);
  return value === undefined ? end : { value, open: false };
}

/** The next value that a fact of this type can have, up or down; undefined where between two values there is always another. */
export function nextValue(type: FactType | undefined, value: Known, direction: 1 | -1): Known | undefined {
  if (isDay(value)) return new Day(value.epochDay + direction);
  if (!isNumber(value)) return undefined;
  if (type?.type === 'integer') return direction === 1 ? value.floor().plus(1) : value.ceil().minus(1);
  if (type?.type !== 'decimal' || type.scale === undefined) return undefined;
  const step = new Decimal(10).pow(-type.scale);
  return direction === 1 ? value.plus(step) : value.minus(step);
}

export function isDay(value: Known | undefined): value is Day {
  return value instanceof Day;
}

export function isNumber(value: Known | undefined): value is Decimal {
  return value instanceof Decimal;
}

/** A value as it travels in facts and examples. */
export function written(column: Column, value: Known): FactValue {
  return factValue(value, column.type?.type === 'integer');
}

/** A fact as it travels: decimals and dates as text, whole numbers as numbers. */
export type FactValue = Facts[string];

export function factValue(value: Known, integer: boolean): FactValue {
  if (isNumber(value)) return integer ? value.toNumber() : value.toFixed();
  return isDay(value) ? value.toString() : value;
}

/**
 * A set of atoms as a cell of the rule language that accepts exactly these.
 * @returns `-` where that is everything
 */
export function cellText(column: Column, atoms: readonly number[]): string {
  const { axis } = column;
  if (atoms.length === axis.atoms.length) return '-';
  const absent = atoms.some((atom) => axis.atoms[atom]?.kind === 'absent') ? ['null'] : [];
  const known = atoms.filter((atom) => axis.atoms[atom]?.kind !== 'absent');
  if (known.length === knownCount(axis)) return 'not(null)';
  if (known.some((atom) => axis.kind === 'set' && axis.atoms[atom]?.kind === 'between')) {
    const left = axis.atoms.flatMap((atom, place) => (atoms.includes(place) ? [] : [literal(pointOf(atom))]));
    return `not(${left.join(', ')})`;
  }
  const parts =
    axis.kind === 'set'
      ? known.map((atom) => literal(pointOf(axis.atoms[atom]!)))
      : stretches(column, known).map(stretchCell);
  return [...parts, ...absent].join(', ');
}

function pointOf(atom: Atom): Known {
  return atom.kind === 'point' ? atom.value : null;
}

function stretchCell({ low, high }: Stretch): string {
  if (low && high) {
    const [from, to] = [literal(low.value), literal(high.value)];
    if (from === to) return from;
    return `${low.open ? '(' : '['}${from}..${to}${high.open ? ')' : ']'}`;
  }
  if (low) return `${low.open ? '>' : '>='} ${literal(low.value)}`;
  if (high) return `${high.open ? '<' : '<='} ${literal(high.value)}`;
  return 'not(null)';
}

/** A value as a literal of the rule language. */
export function literal(value: Known): string {
  if (typeof value === 'string') return JSON.stringify(value);
  if (isDay(value)) return `@"${value.toString()}"`;
  return String(factValue(value, false));
}
