import { SyntaxFault, type Span } from './syntax.js';

export type Token = Span &
  (
    | { readonly kind: 'number' | 'string' | 'word'; readonly text: string }
    | { readonly kind: 'sign'; readonly text: string }
    | { readonly kind: 'end'; readonly text: '' }
  );

/** The language of policies, or all of FEEL: the strict one has no comments, exponents, contexts and odd names. */
export type Dialect = 'policy' | 'wide';

const PLAIN_SIGNS = ['..', '<=', '>=', '!=', '<', '>', '=', '+', '-', '*', '/', '(', ')', '[', ']', ',', '?', '@', '.'];
const PATTERNS = {
  policy: {
    signs: PLAIN_SIGNS,
    space: /\s+/y,
    number: /\d+(?:\.\d+)?/y,
    word: /[\p{L}_][\p{L}\p{N}_]*/uy,
  },
  wide: {
    signs: ['**', '->', ...PLAIN_SIGNS, '{', '}', ':'],
    space: /(?:\s|\/\/[^\n]*|\/\*[\s\S]*?\*\/)+/y,
    number: /(?:\d+(?:\.\d+)?|\.\d+)(?:[eE][+-]?\d+)?/y,
    word: /[\p{L}_\u{10000}-\u{EFFFF}][\p{L}\p{M}\p{N}_'\u2019\u{10000}-\u{EFFFF}]*/uy,
  },
} as const;
const STRING = /"(?:[^"\\]|\\.)*"/sy;
const ESCAPES: Readonly<Record<string, string>> = { n: '\n', t: '\t', r: '\r', '"': '"', "'": "'", '\\': '\\' };

/** Splits the text of a cell or expression into tokens; the last one is `end`. @throws SyntaxFault at what is no token. */
export function tokens(text: string, dialect: Dialect = 'policy'): Token[] {
  const out: Token[] = [];
  const { space } = PATTERNS[dialect];
  let at = 0;
  while (at < text.length) {
    const gap = take(space, text, at);
    if (gap !== undefined) {
      at += gap.length;
      continue;
    }
    const token = nextToken(text, at, dialect);
    out.push(token);
    at = token.to;
  }
  out.push({ kind: 'end', text: '', from: text.length, to: text.length });
  return out;
}

function take(pattern: RegExp, text: string, at: number): string | undefined {
  pattern.lastIndex = at;
  return pattern.exec(text)?.[0];
}

function nextToken(text: string, at: number, dialect: Dialect): Token {
  const patterns = PATTERNS[dialect];
  const number = take(patterns.number, text, at);
  if (number !== undefined) {
    const to = at + number.length;
    if (/[\p{L}_]/u.test(text.charAt(to))) {
      throw new SyntaxFault(at, to + 1, 'A number runs into a letter; put a space or a sign between them.');
    }
    return { kind: 'number', text: number, from: at, to };
  }
  const word = take(patterns.word, text, at);
  if (word !== undefined) return { kind: 'word', text: word, from: at, to: at + word.length };
  const string = take(STRING, text, at);
  if (string !== undefined) {
    const inner = dialect === 'wide' ? wideText(string) : unescapeText(string, at);
    return { kind: 'string', text: inner, from: at, to: at + string.length };
  }
  const sign = patterns.signs.find((s) => text.startsWith(s, at));
  if (sign !== undefined && !(sign === '.' && /^\.\d/.test(text.slice(at, at + 2)))) {
    return { kind: 'sign', text: sign, from: at, to: at + sign.length };
  }
  throw new SyntaxFault(at, at + 1, strayCharacter(text, at));
}

function strayCharacter(text: string, at: number): string {
  const char = String.fromCodePoint(text.codePointAt(at) ?? 0);
  if (char === '"') return 'This text has no closing quote.';
  if (char === '.') return 'Write a digit before the decimal point, like 0.5.';
  if (/[\u2018\u2019\u201c\u201d\u201e']/.test(char)) return `Write text in straight double quotes, like "carton".`;
  if (char === '\u2264') return 'Write <= for "at most".';
  if (char === '\u2265') return 'Write >= for "at least".';
  if (char === '{') return 'Values in curly brackets are not part of the rule language; one outcome is one value.';
  return `The character ${char} has no meaning here.`;
}

function unescapeText(quoted: string, at: number): string {
  return quoted.slice(1, -1).replace(/\\(.)/gs, (_, escaped: string, offset: number) => {
    const plain = escaped === "'" ? undefined : ESCAPES[escaped];
    if (plain === undefined) {
      throw new SyntaxFault(
        at + 1 + offset,
        at + 3 + offset,
        `\\${escaped} is not an escape; write \\\\ for a backslash.`,
      );
    }
    return plain;
  });
}

/** Escapes of FEEL; a backslash before anything else stands for itself, as in the patterns of `matches` and `replace`. */
function wideText(quoted: string): string {
  return quoted
    .slice(1, -1)
    .replace(/\\(?:u([0-9A-Fa-f]{4})|U([0-9A-Fa-f]{6})|(.))/gs, (all, four?: string, six?: string, one?: string) => {
      if (one !== undefined) return ESCAPES[one] ?? all;
      return String.fromCodePoint(Number.parseInt(four ?? six ?? '', 16));
    });
}
