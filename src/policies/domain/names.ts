import { tokens, type Dialect, type Token } from './lexer.js';
import { LIMITS, SyntaxFault } from './syntax.js';

/** What a word may mean: names in reach, and values that the analyst may have meant as text. */
export interface Reach {
  readonly names: ReadonlySet<string>;
  /** Values of the column's enum, for the advice to put quotes around them. */
  readonly values?: readonly string[];
  /** Absent: the strict language of policies. */
  readonly dialect?: Dialect;
  /** Wide dialect only: names of parts of values, which may follow a point or stand inside a filter. */
  readonly properties?: ReadonlySet<string>;
}

/** A name and the texts of its tokens. */
interface SplitName {
  readonly name: string;
  readonly parts: readonly string[];
}

/** Names by their first token. */
type NameIndex = ReadonlyMap<string, readonly SplitName[]>;

/** A name that starts at a token, and how many tokens it takes. */
export interface FoundName {
  readonly name: string;
  readonly count: number;
  /** True for a name that the expression itself gives a meaning. */
  readonly local?: true;
}

const INDEXES = new WeakMap<ReadonlySet<string>, { readonly size: number; readonly index: NameIndex }>();

/** The names of a set, split as the lexer splits them; kept as long as the set does not grow. */
function indexOf(names: ReadonlySet<string>): NameIndex {
  const kept = INDEXES.get(names);
  if (kept?.size === names.size) return kept.index;
  const index = new Map<string, SplitName[]>();
  for (const name of names) {
    const parts = tokensOfName(name);
    const [first] = parts;
    if (first === undefined) continue;
    const same = index.get(first);
    if (same) same.push({ name, parts });
    else index.set(first, [{ name, parts }]);
  }
  INDEXES.set(names, { size: names.size, index });
  return index;
}

/** A name as the texts of its tokens; a name that the lexer cannot split is never met. */
function tokensOfName(name: string): string[] {
  try {
    return tokens(name, 'wide').flatMap(({ kind, text }) => (kind === 'end' ? [] : [text]));
  } catch (error) {
    if (error instanceof SyntaxFault) return [];
    throw error;
  }
}

/** A place in the tokens of one text, with what the names around it mean. Names may hold spaces: the longest known name wins. */
export class TokenCursor {
  protected readonly tokens: readonly Token[];
  protected readonly dialect: Dialect;
  protected at = 0;
  private readonly locals: SplitName[] = [];
  private readonly met = new Set<string>();
  private depth = 0;

  constructor(
    protected readonly text: string,
    protected readonly reach: Reach,
  ) {
    this.dialect = reach.dialect ?? 'policy';
    if (this.dialect === 'policy' && text.length > LIMITS.characters) {
      throw new SyntaxFault(LIMITS.characters, text.length, `This is longer than ${LIMITS.characters} characters.`);
    }
    this.tokens = tokens(text, this.dialect);
  }

  protected get now(): Token {
    return this.peek(0);
  }

  protected peek(ahead: number): Token {
    return this.tokens[this.at + ahead] ?? { kind: 'end', text: '', from: this.text.length, to: this.text.length };
  }

  protected get before(): Token {
    return this.peek(-1);
  }

  protected isSign(sign: string, ahead = 0): boolean {
    const token = this.peek(ahead);
    return token.kind === 'sign' && token.text === sign;
  }

  protected isWord(word: string, ahead = 0): boolean {
    const token = this.peek(ahead);
    return token.kind === 'word' && token.text === word;
  }

  /** A keyword that opens an expression, unless a known name begins there. */
  protected opens(word: string): boolean {
    return this.isWord(word) && !this.nameHere();
  }

  protected skipSign(sign: string): boolean {
    if (!this.isSign(sign)) return false;
    this.at += 1;
    return true;
  }

  protected expectSign(sign: string, why: string): Token {
    const token = this.now;
    if (!this.skipSign(sign)) throw new SyntaxFault(token.from, token.to, why);
    return token;
  }

  protected expectWord(word: string, why: string): void {
    if (!this.isWord(word)) throw new SyntaxFault(this.now.from, this.now.to, why);
    this.at += 1;
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

  /** Runs with more names in reach: those of a loop, a function or a context. */
  protected withNames<T>(names: readonly string[], work: () => T): T {
    const before = this.locals.length;
    this.addNames(names);
    try {
      return work();
    } finally {
      this.locals.length = before;
    }
  }

  /** Puts names in reach until the enclosing `withNames` ends. */
  protected addNames(names: readonly string[]): void {
    for (const name of names) this.locals.push({ name, parts: tokensOfName(name) });
  }

  /** Remembers the name of a part of a value, which may follow a point from here on. */
  protected meet(name: string): void {
    this.met.add(name);
  }

  /** The longest known name that starts at this token. */
  protected nameHere(): FoundName | undefined {
    let best = this.longestOf(this.reach.names);
    for (const { name, parts } of this.locals) {
      if (parts.length >= (best?.count ?? 1) && this.matches(parts)) best = { name, count: parts.length, local: true };
    }
    return best;
  }

  /** The longest known name of a part of a value that starts at this token. */
  protected partHere(): FoundName | undefined {
    const known = this.reach.properties && this.longestOf(this.reach.properties);
    const met = this.longestOf(this.met);
    return (met?.count ?? 0) > (known?.count ?? 0) ? met : known;
  }

  /** The longest name of a set that starts at this token. */
  protected longestOf(names: ReadonlySet<string>): FoundName | undefined {
    if (this.now.kind === 'string') return undefined;
    let best: SplitName | undefined;
    for (const one of indexOf(names).get(this.now.text) ?? []) {
      if (one.parts.length > (best?.parts.length ?? 0) && this.matches(one.parts)) best = one;
    }
    return best && { name: best.name, count: best.parts.length };
  }

  private matches(parts: readonly string[]): boolean {
    return parts.every((part, i) => this.peek(i).kind !== 'string' && this.peek(i).text === part);
  }
}
