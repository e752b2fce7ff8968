import type { Reach } from './names.js';
import { isComparison, TestParser } from './parse-tests.js';
import { SyntaxFault, type ArithmeticSign, type Expression, type Iteration } from './syntax.js';

export type { Reach };

/** Recursive descent over the tokens of one cell or expression, from the loosest operator to the tightest. */
export class Parser extends TestParser {
  expression(): Expression {
    return this.deeper(() => {
      if (this.opens('if')) return this.conditional();
      if (this.opens('some') && !this.isSign('(', 1)) return this.quantified('some');
      if (this.opens('every') && !this.isSign('(', 1)) return this.quantified('every');
      if (this.dialect === 'wide' && this.opens('for')) return this.loop();
      if (this.dialect === 'wide' && this.isSign('(', 1) && this.opens('function')) return this.functionDefinition();
      return this.either();
    });
  }

  private conditional(): Expression {
    const { from } = this.now;
    this.at += 1;
    const condition = this.expression();
    this.expectWord('then', 'After "if" and its condition comes "then".');
    const whenTrue = this.expression();
    this.expectWord('else', 'An "if" needs an "else", so that there is always an answer.');
    const whenFalse = this.expression();
    return { kind: 'if', condition, whenTrue, whenFalse, from, to: whenFalse.to };
  }

  private quantified(kind: 'some' | 'every'): Expression {
    const { from } = this.now;
    this.at += 1;
    return this.withNames([], () => {
      const over = this.iterations();
      this.expectWord('satisfies', `After "${kind} … in …" comes "satisfies" and a condition.`);
      const satisfies = this.expression();
      return { kind, over, satisfies, from, to: satisfies.to };
    });
  }

  private loop(): Expression {
    const { from } = this.now;
    this.at += 1;
    return this.withNames([], () => {
      const over = this.iterations();
      this.expectWord('return', 'After "for … in …" comes "return" and a value.');
      this.addNames(['partial']);
      const result = this.expression();
      return { kind: 'for', over, result, from, to: result.to };
    });
  }

  private iterations(): Iteration[] {
    const over: Iteration[] = [];
    do {
      const name = this.nameUntil(['in']);
      this.expectWord('in', 'After the name comes "in" and a list.');
      const source = this.expression();
      over.push(this.skipSign('..') ? { name, source, to: this.expression() } : { name, source });
      this.addNames([name]);
    } while (this.skipSign(','));
    return over;
  }

  private either(): Expression {
    let left = this.both();
    while (this.isWord('or')) {
      this.at += 1;
      const right = this.both();
      left = { kind: 'or', left, right, from: left.from, to: right.to };
    }
    return left;
  }

  private both(): Expression {
    let left = this.comparison();
    while (this.isWord('and')) {
      this.at += 1;
      const right = this.comparison();
      left = { kind: 'and', left, right, from: left.from, to: right.to };
    }
    return left;
  }

  private comparison(): Expression {
    const left = this.sum();
    if (this.isWord('between')) return this.between(left);
    if (this.isWord('in')) return this.membership(left);
    if (this.dialect === 'wide' && this.isWord('instance') && this.isWord('of', 1)) {
      this.at += 2;
      const type = this.typeName();
      return { kind: 'instance of', value: left, type, from: left.from, to: this.before.to };
    }
    const { kind, text: sign } = this.now;
    if (kind !== 'sign' || !isComparison(sign)) return left;
    this.at += 1;
    const right = this.sum();
    if (this.now.kind === 'sign' && isComparison(this.now.text)) {
      throw new SyntaxFault(left.from, this.now.to, 'Write two comparisons joined by "and", not one chain.');
    }
    return { kind: 'comparison', sign, left, right, from: left.from, to: right.to };
  }

  private between(value: Expression): Expression {
    this.at += 1;
    const low = this.sum();
    this.expectWord('and', 'After "between" and its lower end come "and" and the upper end.');
    const high = this.sum();
    return { kind: 'between', value, low, high, from: value.from, to: high.to };
  }

  /** `value in test` or `value in (test, test)`. A round bracket may also open an interval, so it is tried as tests first. */
  private membership(value: Expression): Expression {
    this.at += 1;
    if (this.isSign('(')) {
      const [start, open] = [this.at, this.now];
      this.at += 1;
      const tests = this.nested(() => this.alternatives());
      if (this.skipSign(')')) return { kind: 'in', value, tests, from: value.from, to: this.before.to };
      if (!this.isSign('..')) throw new SyntaxFault(open.from, open.to, 'A bracket is opened here and not closed.');
      this.at = start;
    }
    const test = this.test(() => this.sum());
    return { kind: 'in', value, tests: [test], from: value.from, to: test.to };
  }

  /** Sums and below: what may stand at the end of an interval or after a comparison sign. */
  protected sum(): Expression {
    let left = this.product();
    while (this.isSign('+') || this.isSign('-')) left = this.joined(left, () => this.product());
    return left;
  }

  private product(): Expression {
    let left = this.power();
    while (this.isSign('*') || this.isSign('/')) left = this.joined(left, () => this.power());
    return left;
  }

  private power(): Expression {
    let left = this.signed();
    while (this.isSign('**')) left = this.joined(left, () => this.signed());
    return left;
  }

  private joined(left: Expression, operand: () => Expression): Expression {
    const sign = this.now.text as ArithmeticSign;
    this.at += 1;
    const right = operand();
    return { kind: 'arithmetic', sign, left, right, from: left.from, to: right.to };
  }

  private signed(): Expression {
    if (!this.isSign('-')) return this.operand();
    const { from } = this.now;
    this.at += 1;
    const of = this.deeper(() => this.signed());
    return { kind: 'negative', of, from, to: of.to };
  }
}

/** Parses a whole expression. @throws SyntaxFault */
export function parseExpression(text: string, reach: Reach): Expression {
  return new WholeExpression(text, reach).whole();
}

class WholeExpression extends Parser {
  whole(): Expression {
    const expression = this.expression();
    this.expectEnd();
    return expression;
  }
}
