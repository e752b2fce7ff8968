import { SyntaxFault, type Span } from './syntax.js';

export type Token = Span &
  (
    | { readonly kind: 'number' | 'string' | 'word'; readonly text: string }
    | { readonly kind: 'sign'; readonly text: string }
    | { readonly kind: 'end'; readonly text: '' }
  );

const SIGNS = ['..', '<=', '>=', '!=', '<', '>', '=', '+', '-', '*', '/', '(', ')', '[', ']', ',', '?', '@'] as const;
const SPACE = /\s+/y;
const NUMBER = /\d+(?:\.\d+)?/y;
const WORD = /[\p{L}_][\p{L}\p{N}_]*/uy;
const STRING = /"(?:[^"\\]|\\.)*"/y;
const ESCAPES: Readonly<Record<string, string>> = { n: '\n', t: '\t', r: '\r', '"': '"', '\\': '\\' };

/** Splits the text of a cell or expression into tokens; the last one is `end`. @throws SyntaxFault at what is no token. */
export function tokens(text: string): Token[] {
  const out: Token[] = [];
  let at = 0;
  const take = (pattern: RegExp): string | undefined => {
    pattern.lastIndex = at;
    return pattern.exec(text)?.[0];
  };
  while (at < text.length) {
    const space = take(SPACE);
    if (space !== undefined) {
      at += space.length;
      continue;
    }
    const token = nextToken(text, at, take);
    out.push(token);
    at = token.to;
  }
  out.push({ kind: 'end', text: '', from: text.length, to: text.length });
  return out;
}

function nextToken(text: string, at: number, take: (pattern: RegExp) => string | undefined): Token {
  const number = take(NUMBER);
  if (number !== undefined) {
    const to = at + number.length;
    if (/[\p{L}_]/u.test(text.charAt(to))) {
      throw new SyntaxFault(at, to + 1, 'A number runs into a letter; put a space or a sign between them.');
    }
    return { kind: 'number', text: number, from: at, to };
  }
  const word = take(WORD);
  if (word !== undefined) return { kind: 'word', text: word, from: at, to: at + word.length };
  const string = take(STRING);
  if (string !== undefined) {
    return { kind: 'string', text: unescapeText(string, at), from: at, to: at + string.length };
  }
  const sign = SIGNS.find((s) => text.startsWith(s, at));
  if (sign) return { kind: 'sign', text: sign, from: at, to: at + sign.length };
  throw new SyntaxFault(at, at + 1, strayCharacter(text, at));
}

function strayCharacter(text: string, at: number): string {
  const char = String.fromCodePoint(text.codePointAt(at) ?? 0);
  if (char === '"') return 'This text has no closing quote.';
  if (char === '.') return 'Write a digit before the decimal point, like 0.5.';
  if (/[\u2018\u2019\u201c\u201d\u201e']/.test(char)) return `Write text in straight double quotes, like "carton".`;
  if (char === '\u2264') return 'Write <= for "at most".';
  if (char === '\u2265') return 'Write >= for "at least".';
  return `The character ${char} has no meaning here.`;
}

function unescapeText(quoted: string, at: number): string {
  return quoted.slice(1, -1).replace(/\\(.)/gs, (_, escaped: string, offset: number) => {
    const plain = ESCAPES[escaped];
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
