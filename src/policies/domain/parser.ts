import { tokens, type Token } from './lexer.js';
import {
  FUNCTIONS,
  LIMITS,
  SyntaxFault,
  type ArithmeticSign,
  type ComparisonSign,
  type Expression,
  type FunctionName,
} from './syntax.js';
import { Day } from './values.js';

const COMPARISONS: readonly string[] = ['<', '<=', '>', '>=', '=', '!='];
const KEYWORDS: readonly string[] = ['if', 'then', 'else', 'and', 'or', 'true', 'false', 'null', 'not'];

/** What a word may mean: names in reach, and values that the analyst may have meant as text. */
export interface Reach {
  readonly names: ReadonlySet<string>;
  /** Values of the column's enum, for the advice to put quotes around them. */
  readonly values?: readonly string[];
}

/** Recursive descent over the tokens of one cell or expression. Names may hold spaces: the longest known name wins. */
export class Parser {
  protected readonly tokens: readonly Token[];
  protected at = 0;
  private depth = 0;

  constructor(
    protected readonly text: string,
    protected readonly reach: Reach,
  ) {
    if (text.length > LIMITS.characters) {
      throw new SyntaxFault(LIMITS.characters, text.length, `This is longer than ${LIMITS.characters} characters.`);
    }
    this.tokens = tokens(text);
  }

  protected get now(): Token {
    return this.tokens[this.at] ?? { kind: 'end', text: '', from: this.text.length, to: this.text.length };
  }

  protected isSign(sign: string): boolean {
    return this.now.kind === 'sign' && this.now.text === sign;
  }

  protected isWord(word: string): boolean {
    return this.now.kind === 'word' && this.now.text === word;
  }

  protected expectSign(sign: string, why: string): Token {
    const token = this.now;
    if (!this.isSign(sign)) throw new SyntaxFault(token.from, token.to, why);
    this.at += 1;
    return token;
  }

  protected expectEnd(): void {
    const token = this.now;
    if (token.kind === 'end') return;
    const meant =
      token.kind === 'sign' && token.text === ','
        ? 'A comma can only join the alternatives of a cell.'
        : `"${token.text}" is not expected here; the rule ends before it.`;
    throw new SyntaxFault(token.from, this.text.length, meant);
  }

  protected deeper<T>(work: () => T): T {
    this.depth += 1;
    if (this.depth > LIMITS.nesting) {
      throw new SyntaxFault(this.now.from, this.now.to, `This is nested deeper than ${LIMITS.nesting} levels.`);
    }
    try {
      return work();
    } finally {
      this.depth -= 1;
    }
  }

  expression(): Expression {
    return this.deeper(() => (this.isWord('if') && !this.nameHere() ? this.conditional() : this.either()));
  }

  private conditional(): Expression {
    const { from } = this.now;
    this.at += 1;
    const condition = this.expression();
    this.keyword('then', 'After "if" and its condition comes "then".');
    const whenTrue = this.expression();
    this.keyword('else', 'An "if" needs an "else", so that there is always an answer.');
    const whenFalse = this.expression();
    return { kind: 'if', condition, whenTrue, whenFalse, from, to: whenFalse.to };
  }

  private keyword(word: string, why: string): void {
    if (!this.isWord(word)) throw new SyntaxFault(this.now.from, this.now.to, why);
    this.at += 1;
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
    if (this.now.kind !== 'sign' || !COMPARISONS.includes(this.now.text)) return left;
    const sign = this.now.text as ComparisonSign;
    this.at += 1;
    const right = this.sum();
    if (this.now.kind === 'sign' && COMPARISONS.includes(this.now.text)) {
      throw new SyntaxFault(left.from, this.now.to, 'Write two comparisons joined by "and", not one chain.');
    }
    return { kind: 'comparison', sign, left, right, from: left.from, to: right.to };
  }

  /** Sums and below: what may stand at the end of an interval or after a comparison sign. */
  protected sum(): Expression {
    let left = this.product();
    while (this.isSign('+') || this.isSign('-')) {
      const sign = this.now.text as ArithmeticSign;
      this.at += 1;
      const right = this.product();
      left = { kind: 'arithmetic', sign, left, right, from: left.from, to: right.to };
    }
    return left;
  }

  private product(): Expression {
    let left = this.signed();
    while (this.isSign('*') || this.isSign('/')) {
      const sign = this.now.text as ArithmeticSign;
      this.at += 1;
      const right = this.signed();
      left = { kind: 'arithmetic', sign, left, right, from: left.from, to: right.to };
    }
    return left;
  }

  private signed(): Expression {
    if (!this.isSign('-')) return this.primary();
    const { from } = this.now;
    this.at += 1;
    const of = this.deeper(() => this.signed());
    return { kind: 'negative', of, from, to: of.to };
  }

  private primary(): Expression {
    const token = this.now;
    if (token.kind === 'word') return this.word(token);
    if (token.kind === 'end') throw new SyntaxFault(token.from, token.to, 'Something is missing at the end.');
    this.at += 1;
    if (token.kind === 'number') return { kind: 'number', text: token.text, from: token.from, to: token.to };
    if (token.kind === 'string') return { kind: 'text', text: token.text, from: token.from, to: token.to };
    if (token.text === '?') return { kind: 'column value', from: token.from, to: token.to };
    if (token.text === '@') return this.dateText(token.from);
    if (token.text === '(') {
      const inner = this.expression();
      const close = this.expectSign(')', 'A bracket is opened here and not closed.');
      return { ...inner, from: token.from, to: close.to };
    }
    throw new SyntaxFault(token.from, token.to, `"${token.text}" cannot stand here.`);
  }

  private dateText(from: number): Expression {
    const token = this.now;
    if (token.kind !== 'string' || !Day.parse(token.text)) {
      throw new SyntaxFault(from, token.to, 'Write a date as @"2026-03-01" or date("2026-03-01").');
    }
    this.at += 1;
    return { kind: 'date', text: token.text, from, to: token.to };
  }

  private word(token: Token): Expression {
    const name = this.nameHere();
    if (name) {
      const last = this.tokens[this.at + name.words - 1] ?? token;
      this.at += name.words;
      return { kind: 'name', name: name.name, from: token.from, to: last.to };
    }
    const called = this.functionHere();
    if (called) return this.call(token, called.name, called.words);
    if (token.text === 'date' && this.tokens[this.at + 1]?.text === '(') {
      this.at += 2;
      const date = this.dateText(token.from);
      const close = this.expectSign(')', 'Write a date as date("2026-03-01").');
      return { ...date, to: close.to };
    }
    this.at += 1;
    const { from, to } = token;
    if (token.text === 'true' || token.text === 'false')
      return { kind: 'boolean', value: token.text === 'true', from, to };
    if (token.text === 'null') return { kind: 'null', from, to };
    throw this.unknownWord(token);
  }

  /** The longest known name that starts at this token. */
  private nameHere(): { name: string; words: number } | undefined {
    return this.longest((phrase) => this.reach.names.has(phrase));
  }

  private functionHere(): { name: FunctionName; words: number } | undefined {
    const found = this.longest((phrase, after) => {
      return (FUNCTIONS as readonly string[]).includes(phrase) && after?.kind === 'sign' && after.text === '(';
    });
    return found && { name: found.name as FunctionName, words: found.words };
  }

  private longest(accept: (phrase: string, after?: Token) => boolean): { name: string; words: number } | undefined {
    let phrase = '';
    let best: { name: string; words: number } | undefined;
    for (let i = this.at; this.tokens[i]?.kind === 'word'; i += 1) {
      phrase = phrase === '' ? (this.tokens[i]?.text ?? '') : `${phrase} ${this.tokens[i]?.text}`;
      if (accept(phrase, this.tokens[i + 1])) best = { name: phrase, words: i - this.at + 1 };
    }
    return best;
  }

  private call(token: Token, name: FunctionName, words: number): Expression {
    this.at += words + 1;
    const args: Expression[] = [this.expression()];
    while (this.isSign(',')) {
      this.at += 1;
      args.push(this.expression());
    }
    const close = this.expectSign(')', `The brackets of ${name}(…) are not closed.`);
    return { kind: 'call', name, args, from: token.from, to: close.to };
  }

  private unknownWord(token: Token): SyntaxFault {
    let end = this.at;
    while (this.tokens[end]?.kind === 'word' && !KEYWORDS.includes(this.tokens[end]?.text ?? '')) end += 1;
    const to = this.tokens[end - 1]?.to ?? token.to;
    const phrase = this.text.slice(token.from, to).replace(/\s+/g, ' ');
    if (this.tokens[end]?.kind === 'sign' && this.tokens[end]?.text === '(') {
      const known = FUNCTIONS.join(', ');
      const why = token.text === 'not' ? 'not(…) must stand around the whole cell.' : `The functions are ${known}.`;
      return new SyntaxFault(token.from, to, `${phrase}(…) cannot be used here. ${why}`);
    }
    if (this.reach.values?.includes(phrase)) {
      return new SyntaxFault(token.from, to, `This is text: write "${phrase}" with quotes.`);
    }
    const advice = this.reach.values ? ` If it is text, write "${phrase}" with quotes.` : '';
    return new SyntaxFault(token.from, to, `There is no fact, parameter or earlier outcome named ${phrase}.${advice}`);
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
