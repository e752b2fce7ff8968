import type { FactType } from '../policies.contract.js';
import { LIMITS, SyntaxFault, type ComparisonSign, type Span } from './syntax.js';

/** Type of an expression as far as it is known before any fact is. Text of an enum keeps the values it may have. */
export type StaticType =
  | { readonly kind: 'number' | 'boolean' | 'date' | 'days' | 'months' | 'null' }
  | { readonly kind: 'text'; readonly values?: readonly string[]; readonly literal?: boolean }
  /** A list that is written out; `of` is the type of its items, undefined where it is empty; `size` how many it has at most, where that is known. */
  | { readonly kind: 'list'; readonly of: StaticType | undefined; readonly size?: number };

export type TypeOf = (name: string) => StaticType;

/** What a declared fact, parameter or outcome looks like to the checker. */
export function staticType(type: FactType): StaticType {
  switch (type.type) {
    case 'enum':
      return { kind: 'text', values: type.values };
    case 'integer':
    case 'decimal':
      return { kind: 'number' };
    case 'boolean':
    case 'date':
      return { kind: type.type };
    case 'text':
      return { kind: 'text' };
  }
}

/** Kinds as a person would say them. */
export const WORDS: Readonly<Record<StaticType['kind'], string>> = {
  number: 'a number',
  text: 'text',
  boolean: 'true or false',
  date: 'a date',
  days: 'a duration of days',
  months: 'a duration of months',
  list: 'a list',
  null: 'null',
};
/** Kinds whose values can be smaller or larger. */
export const ORDERED: readonly StaticType['kind'][] = ['number', 'date', 'days', 'months'];

/** Checks that two types can be compared so. @throws SyntaxFault */
export function comparable(sign: ComparisonSign, left: StaticType, right: StaticType, span: Span): void {
  if (left.kind === 'null' || right.kind === 'null') {
    if (sign === '=' || sign === '!=') return;
    throw fault(span, 'null has no order.');
  }
  if (left.kind !== right.kind) {
    const trap = left.kind === 'number' && right.kind === 'text' ? ' Write numbers without quotes.' : '';
    throw fault(span, `This compares ${WORDS[left.kind]} with ${WORDS[right.kind]}, which can never hold.${trap}`);
  }
  if (sign !== '=' && sign !== '!=' && !ORDERED.includes(left.kind)) {
    throw fault(span, `${capital(WORDS[left.kind])} has no order; only numbers and dates can be smaller or larger.`);
  }
  if (left.kind === 'text' && right.kind === 'text') sharedValue(left, right, span);
}

/** Two lists of possible texts that share nothing are a misspelling, not a condition. */
function sharedValue(
  left: Extract<StaticType, { kind: 'text' }>,
  right: Extract<StaticType, { kind: 'text' }>,
  span: Span,
): void {
  const { values: a } = left;
  const { values: b } = right;
  if (!a || !b || a.some((value) => b.includes(value))) return;
  const [literal, list] = right.literal ? [b, a] : [a, b];
  throw fault(span, `"${literal.join('", "')}" is not among ${list.join(', ')}.`);
}

/** Most items that a list can have: what is written out, or one of each rule of a table. */
export function sizeOf({ size = LIMITS.rules }: Extract<StaticType, { kind: 'list' }>): number {
  return size;
}

/** The type of a value that is of one type or the other. @throws SyntaxFault */
export function joined(a: StaticType, b: StaticType, span: Span, where?: string): StaticType {
  if (a.kind === 'null') return b;
  if (b.kind === 'null') return a;
  if (a.kind !== b.kind) {
    throw fault(
      span,
      where === undefined
        ? `"then" gives ${WORDS[a.kind]} and "else" gives ${WORDS[b.kind]}.`
        : `${where} are ${WORDS[a.kind]} and ${WORDS[b.kind]}.`,
    );
  }
  if (a.kind === 'list' && b.kind === 'list') {
    const of = a.of && b.of ? joined(a.of, b.of, span, where) : (a.of ?? b.of);
    return { kind: 'list', of, size: Math.max(sizeOf(a), sizeOf(b)) };
  }
  if (a.kind === 'text' && b.kind === 'text') {
    return a.values && b.values ? { kind: 'text', values: [...new Set([...a.values, ...b.values])] } : { kind: 'text' };
  }
  return a;
}

/** The type where it is of the kind that is needed. @throws SyntaxFault */
export function mustBe(kind: StaticType['kind'], type: StaticType, span: Span): StaticType {
  if (type.kind === kind) return type;
  throw fault(span, `${capital(WORDS[kind])} is needed here, and this is ${WORDS[type.kind]}.`);
}

/** Words with a capital letter in front. */
export function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** A fault at a place. */
export function fault(span: Span, detail: string): SyntaxFault {
  return new SyntaxFault(span.from, span.to, detail);
}
