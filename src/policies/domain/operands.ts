import { BUILTIN_NAMES } from './feel/builtins.js';
import { readDuration } from './feel/read-temporal.js';
import type { Token } from './lexer.js';
import { TokenCursor } from './names.js';
import { POLICY_FUNCTIONS } from './policy-functions.js';
import { LIMITS, SyntaxFault, type Expression, type FunctionParameter, type TypeName } from './syntax.js';
import { Day } from './values.js';

const KEYWORDS: ReadonlySet<string> = new Set(
  `if then else and or true false null not in between some every satisfies for return function instance`.split(' '),
);
const DATE_HINT = 'Write a date as @"2026-03-01" or date("2026-03-01").';

/** Why functions that other rule languages have are not there, beside the list of those that are. */
const REFUSED: Readonly<Record<string, string>> = {
  today: 'The caller gives the date, so that an old decision can be run again: compare with a date fact.',
  now: 'The caller gives the date, so that an old decision can be run again: compare with a date fact.',
  matches: 'Patterns are not part of the language: list the values, or use starts with, ends with or contains.',
  replace: 'Patterns are not part of the language.',
  split: 'Patterns are not part of the language.',
};

/** Values of a call: in order, or by the names of the parameters. */
interface Arguments {
  readonly args: readonly Expression[];
  readonly names?: readonly string[];
}

/** Operands: literals, names, calls, lists, and what may follow them. */
export abstract class OperandParser extends TokenCursor {
  /** While the upper end of an interval is read, `[` closes it and is no filter. */
  protected upperEnd = false;

  abstract expression(): Expression;
  protected abstract bracketed(open: Token): Expression;

  /** An operand and what follows it: parts, filters, calls of what it is. */
  protected operand(): Expression {
    let of = this.primary();
    for (;;) {
      if (this.isSign('.')) of = this.part(of);
      else if (this.isSign('[') && !this.upperEnd && this.dialect === 'wide') of = this.filter(of);
      else if (this.isSign('(') && this.dialect === 'wide') of = this.invocation(of);
      else return of;
    }
  }

  private part(of: Expression): Expression {
    this.at += 1;
    const found = this.partHere() ?? this.plainPart();
    const { name, count } = found;
    this.at += count;
    return { kind: 'path', of, name, from: of.from, to: this.before.to };
  }

  private plainPart(): { name: string; count: number } {
    let count = 0;
    while (this.peek(count).kind === 'word' && (count === 0 || !KEYWORDS.has(this.peek(count).text))) count += 1;
    if (count === 0) throw new SyntaxFault(this.now.from, this.now.to, 'After a point comes the name of a part.');
    const words = Array.from({ length: count }, (_, i) => this.peek(i).text);
    return { name: words.join(' '), count };
  }

  private filter(of: Expression): Expression {
    this.at += 1;
    const by = this.nested(() => this.expression());
    const close = this.expectSign(']', 'A filter is opened here and not closed.');
    return { kind: 'filter', of, by, from: of.from, to: close.to };
  }

  private invocation(callee: Expression): Expression {
    const given = this.callArguments('The brackets of the call are not closed.');
    return { kind: 'invocation', callee, ...given, from: callee.from, to: this.before.to };
  }

  /** Inside of brackets an upper end of an interval outside does not count. */
  protected nested<T>(work: () => T): T {
    const before = this.upperEnd;
    this.upperEnd = false;
    try {
      return work();
    } finally {
      this.upperEnd = before;
    }
  }

  private primary(): Expression {
    const token = this.now;
    if (token.kind === 'word') return this.word(token);
    if (token.kind === 'end') throw new SyntaxFault(token.from, token.to, 'Something is missing at the end.');
    if (token.kind === 'sign' && ['(', '[', ']'].includes(token.text)) return this.bracketed(token);
    if (token.kind === 'sign' && token.text === '{') return this.nested(() => this.context(token));
    this.at += 1;
    if (token.kind === 'number') return { kind: 'number', text: token.text, from: token.from, to: token.to };
    if (token.kind === 'string') return { kind: 'text', text: token.text, from: token.from, to: token.to };
    if (token.text === '?') return { kind: 'column value', from: token.from, to: token.to };
    if (token.text === '@') return this.temporal(token.from, DATE_HINT);
    throw new SyntaxFault(token.from, token.to, `"${token.text}" cannot stand here.`);
  }

  private temporal(from: number, hint: string): Expression {
    const token = this.now;
    const isText = token.kind === 'string';
    if (isText && this.dialect === 'wide') {
      this.at += 1;
      return { kind: 'temporal', text: token.text, from, to: token.to };
    }
    const kind = isText && readDuration(token.text) ? 'duration' : 'date';
    if (!isText || (kind === 'date' && !Day.parse(token.text))) throw new SyntaxFault(from, token.to, hint);
    this.at += 1;
    return { kind, text: token.text, from, to: token.to };
  }

  private context(open: Token): Expression {
    this.at += 1;
    const entries: { name: string; value: Expression }[] = [];
    this.withNames([], () => {
      while (!this.isSign('}')) {
        const name = this.key();
        const value = this.expression();
        entries.push({ name, value });
        this.addNames([name]);
        if (!this.skipSign(',')) break;
      }
    });
    const close = this.expectSign('}', 'A context is opened here and not closed.');
    for (const { name } of entries) this.meet(name);
    return { kind: 'context', entries, from: open.from, to: close.to };
  }

  /** The name before a colon, with everything that stands there. */
  private key(): string {
    const start = this.now;
    if (start.kind === 'string' && this.isSign(':', 1)) {
      this.at += 2;
      return start.text;
    }
    const name = this.nameUntil([':']);
    this.expectSign(':', 'After a name comes a colon.');
    return name;
  }

  /** All tokens up to one of some signs or words, as one name with single spaces where there were any. */
  protected nameUntil(stops: readonly string[]): string {
    const start = this.now;
    while (this.now.kind !== 'end' && !stops.includes(this.now.text)) this.at += 1;
    if (start === this.now) throw new SyntaxFault(start.from, start.to, 'A name is missing here.');
    return this.text.slice(start.from, this.before.to).replace(/\s+/g, ' ');
  }

  private word(token: Token): Expression {
    const { from, to } = token;
    const name = this.nameHere();
    const called = this.calledHere();
    if (name && name.count >= (called?.count ?? 0)) {
      this.at += name.count;
      return { kind: name.local ? 'local' : 'name', name: name.name, from, to: this.before.to };
    }
    if (called) return this.call(from, called.name, called.count);
    this.at += 1;
    if (token.text === 'true' || token.text === 'false')
      return { kind: 'boolean', value: token.text === 'true', from, to };
    if (token.text === 'null') return { kind: 'null', from, to };
    this.at -= 1;
    return this.otherWord(token);
  }

  /** Words that mean nothing: in the wide dialect a name that has no value, or a function without its call. */
  private otherWord(token: Token): Expression {
    if (this.dialect === 'policy' || KEYWORDS.has(token.text)) throw this.unknownWord(token);
    const part = this.partHere();
    const builtin = part ? undefined : this.longestOf(BUILTIN_NAMES);
    const { name, count } = part ?? builtin ?? { name: token.text, count: 1 };
    this.at += count;
    return { kind: builtin ? 'builtin' : 'name', name, from: token.from, to: this.before.to };
  }

  private calledHere(): { readonly name: string; readonly count: number } | undefined {
    const found = this.longestOf(this.dialect === 'wide' ? BUILTIN_NAMES : POLICY_FUNCTIONS);
    return found && this.isSign('(', found.count) ? found : undefined;
  }

  private call(from: number, name: string, words: number): Expression {
    this.at += words;
    if (this.dialect === 'policy' && (name === 'date' || name === 'duration') && this.peek(1).kind === 'string') {
      return this.temporalCall(from, name);
    }
    const given = this.callArguments(`The brackets of ${name}(…) are not closed.`);
    return { kind: 'call', name, ...given, from, to: this.before.to };
  }

  /** `date("…")` and `duration("…")` of a policy are read once, when the policy is. */
  private temporalCall(from: number, name: 'date' | 'duration'): Expression {
    this.at += 1;
    const hint = name === 'date' ? DATE_HINT : 'Write a duration as duration("P14D") for 14 days or duration("P1Y6M").';
    const value = this.temporal(from, hint);
    const close = this.expectSign(')', name === 'date' ? 'Write a date as date("2026-03-01").' : hint);
    if (value.kind !== name) throw new SyntaxFault(from, close.to, hint);
    return { ...value, to: close.to };
  }

  private callArguments(why: string): Arguments {
    const open = this.now;
    this.at += 1;
    return this.nested(() => {
      const args: Expression[] = [];
      const names: string[] = [];
      while (!this.isSign(')')) {
        if (this.namedNext()) names.push(this.key());
        else if (names.length > 0) throw new SyntaxFault(this.now.from, this.now.to, 'Here too a name is needed.');
        args.push(this.expression());
        if (args.length > LIMITS.alternatives && this.dialect === 'policy') {
          throw new SyntaxFault(open.from, this.now.to, `A call may have at most ${LIMITS.alternatives} values.`);
        }
        if (!this.skipSign(',')) break;
      }
      this.expectSign(')', why);
      return names.length > 0 ? { args, names } : { args };
    });
  }

  /** Whether the next value of a call is given by name. */
  private namedNext(): boolean {
    if (this.dialect === 'policy') return false;
    let ahead = 0;
    while (this.peek(ahead).kind === 'word') ahead += 1;
    return ahead > 0 && this.isSign(':', ahead);
  }

  /** `function(a, b: number) …`; the word itself has been seen and not yet passed. */
  protected functionDefinition(): Expression {
    const { from } = this.now;
    this.at += 1;
    this.expectSign('(', 'After "function" come its parameters in brackets.');
    const parameters: FunctionParameter[] = [];
    while (!this.isSign(')')) {
      const name = this.nameUntil([':', ',', ')']);
      parameters.push(this.skipSign(':') ? { name, type: this.typeName() } : { name });
      if (!this.skipSign(',')) break;
    }
    this.expectSign(')', 'The brackets of the parameters are not closed.');
    if (this.isWord('external')) {
      this.at += 1;
      this.expression();
      return { kind: 'function', parameters, body: undefined, from, to: this.before.to };
    }
    const names = parameters.map(({ name }) => name);
    const body = this.withNames(names, () => this.deeper(() => this.expression()));
    return { kind: 'function', parameters, body, from, to: body.to };
  }

  /** A type: `number`, `list<number>`, `context<a: number>`, or the name of one that is defined elsewhere. */
  protected typeName(): TypeName {
    const start = this.now;
    let count = 0;
    while (this.peek(count).kind === 'word' && !KEYWORDS.has(this.peek(count).text.replace(/^and$/, ''))) count += 1;
    if (count === 0) throw new SyntaxFault(start.from, start.to, 'The name of a type is missing here.');
    const name = Array.from({ length: count }, (_, i) => this.peek(i).text).join(' ');
    this.at += count;
    if (!this.skipSign('<')) return { name };
    const of: TypeName[] = [];
    const members: { name: string; type: TypeName }[] = [];
    while (!this.isSign('>')) {
      if (name === 'context') members.push({ name: this.key(), type: this.typeName() });
      else of.push(this.typeName());
      if (!this.skipSign(',')) break;
    }
    this.expectSign('>', 'The brackets of the type are not closed.');
    if (this.skipSign('->')) of.push(this.typeName());
    return name === 'context' ? { name, members } : { name, of };
  }

  private unknownWord(token: Token): SyntaxFault {
    let words = 0;
    while (this.peek(words).kind === 'word' && !(words > 0 && KEYWORDS.has(this.peek(words).text))) words += 1;
    const { to } = this.peek(words - 1);
    const phrase = this.text.slice(token.from, to).replace(/\s+/g, ' ');
    const fault = (detail: string): SyntaxFault => new SyntaxFault(token.from, to, detail);
    if (this.isSign('(', words)) {
      const why = REFUSED[phrase] ?? `The functions are ${[...POLICY_FUNCTIONS].join(', ')}.`;
      return fault(`${phrase}(…) cannot be used here. ${why}`);
    }
    if (KEYWORDS.has(token.text)) {
      const loop = 'Loops are not part of the rule language; "some" and "every" are.';
      return new SyntaxFault(token.from, token.to, token.text === 'for' ? loop : `"${token.text}" cannot stand here.`);
    }
    if (this.reach.values?.includes(phrase)) return fault(`This is text: write "${phrase}" with quotes.`);
    const advice = this.reach.values ? ` If it is text, write "${phrase}" with quotes.` : '';
    return fault(`There is no fact, parameter or earlier outcome named ${phrase}.${advice}`);
  }
}
