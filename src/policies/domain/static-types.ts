import type { FactType } from '../policies.contract.js';
import { SyntaxFault, type Cell, type CellTest, type ComparisonSign, type Expression, type Span } from './syntax.js';

/** Type of an expression as far as it is known before any fact is. Text of an enum keeps the values it may have. */
export type StaticType =
  | { readonly kind: 'number' | 'boolean' | 'date' | 'null' }
  | { readonly kind: 'text'; readonly values?: readonly string[]; readonly literal?: boolean };

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

const WORDS: Readonly<Record<StaticType['kind'], string>> = {
  number: 'a number',
  text: 'text',
  boolean: 'true or false',
  date: 'a date',
  null: 'null',
};

/**
 * Type of an expression. Nothing is ever coerced: mixing kinds is a fault when the policy is compiled, not a silent no.
 * @param column type of `?`, where the expression is part of a cell
 * @throws SyntaxFault at the first place where the kinds do not fit
 */
export function typeOfExpression(expression: Expression, typeOf: TypeOf, column?: StaticType): StaticType {
  const inner = (e: Expression): StaticType => typeOfExpression(e, typeOf, column);
  switch (expression.kind) {
    case 'number':
      return literalNumber(expression.text, expression);
    case 'text':
      return { kind: 'text', values: [expression.text], literal: true };
    case 'boolean':
    case 'date':
    case 'null':
      return { kind: expression.kind };
    case 'name':
      return typeOf(expression.name);
    case 'column value':
      if (!column) throw fault(expression, '? stands for the value of a column and has a meaning only in a cell.');
      return column;
    case 'negative':
      return mustBe('number', inner(expression.of), expression.of);
    case 'arithmetic':
      mustBe('number', inner(expression.left), expression.left);
      return mustBe('number', inner(expression.right), expression.right);
    case 'comparison':
      comparable(expression.sign, inner(expression.left), inner(expression.right), expression);
      return { kind: 'boolean' };
    case 'and':
    case 'or':
      mustBe('boolean', inner(expression.left), expression.left);
      return mustBe('boolean', inner(expression.right), expression.right);
    case 'if':
      mustBe('boolean', inner(expression.condition), expression.condition);
      return joined(inner(expression.whenTrue), inner(expression.whenFalse), expression);
    case 'call':
      return typeOfCall(expression, inner);
  }
}

function typeOfCall(call: Extract<Expression, { kind: 'call' }>, inner: (e: Expression) => StaticType): StaticType {
  for (const arg of call.args) mustBe('number', inner(arg), arg);
  const [least, most] = ARGUMENTS[call.name];
  if (call.args.length < least || call.args.length > most) {
    const wants = least === most ? `${least}` : most === Infinity ? `${least} or more` : `${least} or ${most}`;
    throw fault(
      call,
      `${call.name}(…) takes ${wants} ${wants === '1' ? 'value' : 'values'}; here are ${call.args.length}.`,
    );
  }
  return { kind: 'number' };
}

const ARGUMENTS = {
  decimal: [2, 2],
  'round half up': [2, 2],
  min: [1, Infinity],
  max: [1, Infinity],
  abs: [1, 1],
  floor: [1, 2],
  ceiling: [1, 2],
} as const;

function literalNumber(text: string, span: Span): StaticType {
  if (text.replace(/^0+|\./g, '').length > 34) throw fault(span, 'A number may have at most 34 digits.');
  return { kind: 'number' };
}

/** Checks every alternative of a cell against the type of its column. @throws SyntaxFault */
export function checkCell(cell: Cell, column: StaticType, typeOf: TypeOf): void {
  if (cell.kind === 'any') return;
  for (const test of cell.tests) checkTest(test, column, typeOf);
}

function checkTest(test: CellTest, column: StaticType, typeOf: TypeOf): void {
  switch (test.kind) {
    case 'equals': {
      const type = typeOfExpression(test.value, typeOf);
      if (column.kind === 'boolean' && test.value.kind !== 'boolean' && test.value.kind !== 'null') {
        throw fault(test, 'On a yes/no column write true, false, or "? = …" to compare with something else.');
      }
      return comparable('=', column, type, test);
    }
    case 'compare':
      if (test.sign !== '!=' && test.value.kind === 'null') {
        throw fault(test, 'null has no order; write null or not(null) to test for it.');
      }
      return comparable(test.sign, column, typeOfExpression(test.value, typeOf), test);
    case 'interval':
      comparable('<', column, typeOfExpression(test.low, typeOf), test.low);
      return comparable('<', column, typeOfExpression(test.high, typeOf), test.high);
    case 'condition':
      mustBe('boolean', typeOfExpression(test.value, typeOf, column), test.value);
  }
}

function comparable(sign: ComparisonSign, left: StaticType, right: StaticType, span: Span): void {
  if (left.kind === 'null' || right.kind === 'null') {
    if (sign === '=' || sign === '!=') return;
    throw fault(span, 'null has no order.');
  }
  if (left.kind !== right.kind) {
    const trap = left.kind === 'number' && right.kind === 'text' ? ' Write numbers without quotes.' : '';
    throw fault(span, `This compares ${WORDS[left.kind]} with ${WORDS[right.kind]}, which can never hold.${trap}`);
  }
  if (sign !== '=' && sign !== '!=' && left.kind !== 'number' && left.kind !== 'date') {
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

function joined(a: StaticType, b: StaticType, span: Span): StaticType {
  if (a.kind === 'null') return b;
  if (b.kind === 'null') return a;
  if (a.kind !== b.kind) throw fault(span, `"then" gives ${WORDS[a.kind]} and "else" gives ${WORDS[b.kind]}.`);
  if (a.kind === 'text' && b.kind === 'text') {
    return a.values && b.values ? { kind: 'text', values: [...new Set([...a.values, ...b.values])] } : { kind: 'text' };
  }
  return a;
}

function mustBe(kind: StaticType['kind'], type: StaticType, span: Span): StaticType {
  if (type.kind === kind) return type;
  throw fault(span, `${capital(WORDS[kind])} is needed here, and this is ${WORDS[type.kind]}.`);
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

function fault(span: Span, detail: string): SyntaxFault {
  return new SyntaxFault(span.from, span.to, detail);
}
