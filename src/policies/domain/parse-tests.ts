import { compareKnown } from './feel/compare.js';
import type { FeelValue } from './feel/kinds.js';
import { negate } from './feel/arithmetic.js';
import { readDuration } from './feel/read-temporal.js';
import type { Token } from './lexer.js';
import { OperandParser } from './operands.js';
import { LIMITS, SyntaxFault, type CellTest, type Expression, type Span } from './syntax.js';
import { Day, Decimal } from './values.js';

const COMPARISONS = ['<', '<=', '>', '>=', '!=', '='] as const;

/** Whether a text is one of the comparison signs. */
export function isComparison(text: string): text is (typeof COMPARISONS)[number] {
  return (COMPARISONS as readonly string[]).includes(text);
}

/** Tests: what stands in a cell or after `in`, and everything that begins with a square or round bracket. */
export abstract class TestParser extends OperandParser {
  protected abstract sum(): Expression;

  /** Tests joined by commas. */
  protected alternatives(): CellTest[] {
    const tests = [this.test()];
    while (this.isSign(',')) {
      this.refuseDecimalComma();
      this.at += 1;
      tests.push(this.test());
      if (tests.length > LIMITS.alternatives && this.dialect === 'policy') {
        throw new SyntaxFault(0, this.text.length, `A cell may have at most ${LIMITS.alternatives} alternatives.`);
      }
    }
    return tests;
  }

  /** `1,5` means "1 or 5" and never one and a half; written without a space it is too easy to misread to be let through. */
  private refuseDecimalComma(): void {
    const [before, comma, after] = [this.before, this.now, this.peek(1)];
    const tight = before.to === comma.from && comma.to === after.from;
    if (this.dialect === 'wide' || before.kind !== 'number' || after.kind !== 'number' || !tight) return;
    const detail = `A comma means "or". Write ${before.text}.${after.text} for a decimal, or "${before.text}, ${after.text}" with a space for one or the other.`;
    throw new SyntaxFault(before.from, after.to, detail);
  }

  /** One test. In a policy `not(…)` may stand only around the whole cell, where it cannot be mistaken for the function. */
  protected test(expression = (): Expression => this.expression()): CellTest {
    const token = this.now;
    if (token.kind === 'sign' && isComparison(token.text)) {
      this.at += 1;
      const value = this.sum();
      const { from } = token;
      if (token.text === '=') return { kind: 'equals', value, from, to: value.to };
      return { kind: 'compare', sign: token.text, value, from, to: value.to };
    }
    if (this.dialect === 'policy' && this.isSign('(', 1) && this.opens('not')) {
      throw new SyntaxFault(
        token.from,
        token.to,
        'not(…) cannot be used here. not(…) must stand around the whole cell.',
      );
    }
    const value = expression();
    const { from, to } = value;
    if (value.kind === 'range') {
      const { low, high, lowOpen, highOpen } = value;
      return { kind: 'interval', low, high, lowOpen, highOpen, from, to };
    }
    return namesColumn(value) ? { kind: 'condition', value, from, to } : { kind: 'equals', value, from, to };
  }

  /** What a bracket opens: an interval, a list, or an expression in round brackets. */
  protected bracketed(open: Token): Expression {
    this.at += 1;
    const sign = this.now;
    if (open.text === '(' && this.dialect === 'wide' && sign.kind === 'sign' && isComparison(sign.text)) {
      this.at += 1;
      const value = this.nested(() => this.expression());
      const close = this.expectSign(')', 'A bracket is opened here and not closed.');
      return { kind: 'half range', sign: sign.text, value, from: open.from, to: close.to };
    }
    if (open.text === '[' && this.isSign(']')) {
      this.at += 1;
      return { kind: 'list', items: [], from: open.from, to: this.before.to };
    }
    const first = this.nested(() => this.expression());
    if (this.skipSign('..')) return this.interval(open, first);
    if (open.text === '[' && (this.isSign(',') || this.isSign(']'))) return this.list(open, first);
    if (open.text === '(') {
      const close = this.expectSign(')', 'A bracket is opened here and not closed.');
      return { ...first, from: open.from, to: close.to };
    }
    throw new SyntaxFault(open.from, this.now.to, 'An interval has two ends with .. between them, like [1..5].');
  }

  private list(open: Token, first: Expression): Expression {
    const items = [first];
    while (this.skipSign(',')) {
      items.push(this.nested(() => this.expression()));
      if (items.length > LIMITS.alternatives && this.dialect === 'policy') {
        throw new SyntaxFault(open.from, this.now.to, `A list may have at most ${LIMITS.alternatives} values.`);
      }
    }
    const close = this.expectSign(']', 'A list is opened here and not closed.');
    return { kind: 'list', items, from: open.from, to: close.to };
  }

  private interval(open: Token, low: Expression): Expression {
    const before = this.upperEnd;
    this.upperEnd = true;
    const high = this.deeper(() => this.sum());
    this.upperEnd = before;
    const close = this.now;
    if (close.kind !== 'sign' || ![']', ')', '['].includes(close.text)) {
      throw new SyntaxFault(open.from, close.to, 'Close the interval with ] (end included) or ) (end left out).');
    }
    this.at += 1;
    const span = { from: open.from, to: close.to };
    if (this.dialect === 'policy') refuseEnds(low, high, span);
    return { kind: 'range', low, high, lowOpen: open.text !== '[', highOpen: close.text !== ']', ...span };
  }
}

function refuseEnds(low: Expression, high: Expression, span: Span): void {
  const fault = (detail: string): SyntaxFault => new SyntaxFault(span.from, span.to, detail);
  if (low.kind === 'null' || high.kind === 'null') {
    throw fault('null cannot be the end of an interval; write <= or >= for an open side.');
  }
  const [a, b] = [constant(low), constant(high)];
  if (a !== null && b !== null && compareKnown('>', a, b) === true) {
    throw fault('The interval is reversed: the smaller end comes first, or nothing matches.');
  }
}

/** Value of a literal that has an order, with its sign; null of anything else. */
function constant(expression: Expression): FeelValue {
  switch (expression.kind) {
    case 'number':
      return new Decimal(expression.text);
    case 'date':
      return Day.parse(expression.text) ?? null;
    case 'duration':
      return readDuration(expression.text) ?? null;
    case 'negative':
      return negate(constant(expression.of));
    default:
      return null;
  }
}

/** Whether an expression reads the value of its own column. */
export function namesColumn(expression: Expression): boolean {
  return expression.kind === 'column value' || partsOf(expression).some(namesColumn);
}

/** The expressions directly inside an expression. */
export function partsOf(expression: Expression): readonly Expression[] {
  switch (expression.kind) {
    case 'negative':
    case 'path':
      return [expression.of];
    case 'arithmetic':
    case 'comparison':
    case 'and':
    case 'or':
      return [expression.left, expression.right];
    case 'if':
      return [expression.condition, expression.whenTrue, expression.whenFalse];
    case 'list':
      return expression.items;
    case 'between':
      return [expression.value, expression.low, expression.high];
    case 'in':
      return [expression.value, ...expression.tests.flatMap(partsOfTest)];
    case 'some':
    case 'every':
      return [...expression.over.flatMap(iterated), expression.satisfies];
    case 'for':
      return [...expression.over.flatMap(iterated), expression.result];
    case 'call':
      return expression.args;
    case 'invocation':
      return [expression.callee, ...expression.args];
    case 'context':
      return expression.entries.map(({ value }) => value);
    case 'range':
      return [expression.low, expression.high];
    case 'half range':
    case 'instance of':
      return [expression.value];
    case 'filter':
      return [expression.of, expression.by];
    case 'function':
      return expression.body ? [expression.body] : [];
    default:
      return [];
  }
}

function partsOfTest(test: CellTest): readonly Expression[] {
  return test.kind === 'interval' ? [test.low, test.high] : [test.value];
}

function iterated({ source, to }: { readonly source: Expression; readonly to?: Expression }): readonly Expression[] {
  return to ? [source, to] : [source];
}
