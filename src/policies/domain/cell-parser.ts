import { Parser, type Reach } from './parser.js';
import { LIMITS, SyntaxFault, type Cell, type CellTest, type Expression } from './syntax.js';
import { Decimal, Day, order } from './values.js';

/** Parses a cell of a decision table. @throws SyntaxFault */
export function parseCell(text: string, reach: Reach): Cell {
  if (text.trim() === '-') return { kind: 'any' };
  if (text.trim() === '') {
    throw new SyntaxFault(0, text.length, 'The cell is empty; write - or leave the column out where anything matches.');
  }
  return new CellParser(text, reach).cell();
}

class CellParser extends Parser {
  cell(): Cell {
    const negated = this.isWord('not') && this.tokens[this.at + 1]?.text === '(';
    if (negated) this.at += 2;
    const tests = this.alternatives();
    if (negated) {
      this.expectSign(')', 'not(…) must stand around the whole cell, with one closing bracket at its end.');
    }
    this.expectEnd();
    return { kind: 'tests', negated, tests };
  }

  private alternatives(): CellTest[] {
    const tests = [this.test()];
    while (this.isSign(',')) {
      this.refuseDecimalComma();
      this.at += 1;
      tests.push(this.test());
      if (tests.length > LIMITS.alternatives) {
        throw new SyntaxFault(0, this.text.length, `A cell may have at most ${LIMITS.alternatives} alternatives.`);
      }
    }
    return tests;
  }

  /** `1,5` means "1 or 5" and never one and a half; written without a space it is too easy to misread to be let through. */
  private refuseDecimalComma(): void {
    const before = this.tokens[this.at - 1];
    const comma = this.now;
    const after = this.tokens[this.at + 1];
    if (before?.kind !== 'number' || after?.kind !== 'number' || before.to !== comma.from || comma.to !== after.from) {
      return;
    }
    const detail = `A comma means "or". Write ${before.text}.${after.text} for a decimal, or "${before.text}, ${after.text}" with a space for one or the other.`;
    throw new SyntaxFault(before.from, after.to, detail);
  }

  private test(): CellTest {
    const token = this.now;
    if (token.kind === 'sign' && ['<', '<=', '>', '>=', '!=', '='].includes(token.text)) {
      this.at += 1;
      const value = this.sum();
      const { from } = token;
      if (token.text === '=') return { kind: 'equals', value, from, to: value.to };
      return { kind: 'compare', sign: token.text as '<' | '<=' | '>' | '>=' | '!=', value, from, to: value.to };
    }
    if (this.isSign('[') || this.isSign(']') || this.isSign('(')) {
      const interval = this.interval();
      if (interval) return interval;
    }
    const value = this.expression();
    const { from, to } = value;
    return namesColumn(value) ? { kind: 'condition', value, from, to } : { kind: 'equals', value, from, to };
  }

  private interval(): CellTest | undefined {
    const start = this.at;
    const open = this.now;
    this.at += 1;
    const low = this.sum();
    if (!this.isSign('..')) {
      if (open.text !== '(') {
        throw new SyntaxFault(open.from, this.now.to, 'An interval has two ends with .. between them, like [1..5].');
      }
      this.at = start;
      return undefined;
    }
    this.at += 1;
    const high = this.sum();
    const close = this.now;
    if (close.kind !== 'sign' || ![']', ')', '['].includes(close.text)) {
      throw new SyntaxFault(open.from, close.to, 'Close the interval with ] (end included) or ) (end left out).');
    }
    this.at += 1;
    const span = { from: open.from, to: close.to };
    refuseEnds(low, high, span);
    return { kind: 'interval', low, high, lowOpen: open.text !== '[', highOpen: close.text !== ']', ...span };
  }
}

function refuseEnds(low: Expression, high: Expression, span: { from: number; to: number }): void {
  if (low.kind === 'null' || high.kind === 'null') {
    throw new SyntaxFault(
      span.from,
      span.to,
      'null cannot be the end of an interval; write <= or >= for an open side.',
    );
  }
  const [a, b] = [constant(low), constant(high)];
  if (a !== undefined && b !== undefined && order(a, b) === 1) {
    throw new SyntaxFault(
      span.from,
      span.to,
      'The interval is reversed: the smaller end comes first, or nothing matches.',
    );
  }
}

/** Value of a literal number or date, with its sign. */
function constant(expression: Expression): Decimal | Day | undefined {
  if (expression.kind === 'number') return new Decimal(expression.text);
  if (expression.kind === 'date') return Day.parse(expression.text);
  if (expression.kind === 'negative' && expression.of.kind === 'number')
    return new Decimal(expression.of.text).negated();
  return undefined;
}

function namesColumn(expression: Expression): boolean {
  switch (expression.kind) {
    case 'column value':
      return true;
    case 'negative':
      return namesColumn(expression.of);
    case 'arithmetic':
    case 'comparison':
    case 'and':
    case 'or':
      return namesColumn(expression.left) || namesColumn(expression.right);
    case 'if':
      return [expression.condition, expression.whenTrue, expression.whenFalse].some(namesColumn);
    case 'call':
      return expression.args.some(namesColumn);
    default:
      return false;
  }
}
