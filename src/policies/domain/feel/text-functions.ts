import { Builtin, whole } from './builtin.js';
import { Decimal, isDecimal } from './decimal.js';
import { isList, type FeelValue } from './kinds.js';
import { patternOf, replacementOf } from './patterns.js';
import { textOf } from './value-text.js';

/** A function of texts alone. */
function ofTexts(name: string, parameters: string, work: (...texts: readonly [string, string]) => FeelValue): Builtin {
  // Safe: the signature takes texts only, and `work` reads no more than it names.
  return new Builtin(name).with(parameters, (args) => work(...(args as unknown as [string, string])));
}

/** Characters are code points, so that 🐎 counts as one. */
function substring([text, start, length]: readonly FeelValue[]): FeelValue {
  const points = Array.from(text as string);
  const from = whole(start);
  if (from === undefined || from === 0) return null;
  const begin = from > 0 ? from - 1 : points.length + from;
  if (begin < 0 || begin > points.length) return null;
  if (!isDecimal(length)) return points.slice(begin).join('');
  const count = length.trunc().toNumber();
  return count >= 1 ? points.slice(begin, begin + count).join('') : null;
}

function before(text: string, match: string): string {
  const at = text.indexOf(match);
  return at < 0 ? '' : text.slice(0, at);
}

function after(text: string, match: string): string {
  const at = text.indexOf(match);
  return at < 0 ? '' : text.slice(at + match.length);
}

function matches([input, pattern, flags]: readonly FeelValue[]): FeelValue {
  const regex = patternOf(pattern as string, (flags ?? '') as string);
  return regex ? regex.test(input as string) : null;
}

function replace([input, pattern, replacement, flags]: readonly FeelValue[]): FeelValue {
  const regex = patternOf(pattern as string, (flags ?? '') as string, 'g');
  return regex ? (input as string).replace(regex, replacementOf(replacement as string)) : null;
}

function split([text, delimiter]: readonly FeelValue[]): FeelValue {
  const regex = patternOf(delimiter as string, '');
  return regex ? (text as string).split(regex) : null;
}

function join([list, delimiter]: readonly FeelValue[]): FeelValue {
  if (!isList(list)) return null;
  const texts = list.filter((item) => item !== null);
  return texts.every((item) => typeof item === 'string') ? texts.join((delimiter ?? '') as string) : null;
}

/** Reads a number that was written with separators; null where they are not as said. */
function number([from, grouping, point]: readonly FeelValue[]): FeelValue {
  const [separators, decimals] = [
    [' ', ',', '.', null],
    ['.', ',', null],
  ];
  if (!separators?.includes(grouping as string | null) || !decimals?.includes(point as string | null)) return null;
  if (grouping !== null && grouping === point) return null;
  let text = from as string;
  if (grouping !== null) text = text.replaceAll(grouping as string, '');
  if (point !== null && point !== '.') {
    if (text.includes('.')) return null;
    text = text.replace(point as string, '.');
  }
  return /^-?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?$/.test(text) ? new Decimal(text) : null;
}

export const TEXT_FUNCTIONS: readonly Builtin[] = [
  new Builtin('substring').with('string: string, start position: number, length: number?', substring),
  ofTexts('string length', 'string: string', (text) => new Decimal(Array.from(text).length)),
  ofTexts('upper case', 'string: string', (text) => text.toUpperCase()),
  ofTexts('lower case', 'string: string', (text) => text.toLowerCase()),
  ofTexts('trim', 'string: string', (text) => text.trim()),
  ofTexts('substring before', 'string: string, match: string', before),
  ofTexts('substring after', 'string: string, match: string', after),
  ofTexts('contains', 'string: string, match: string', (text, match) => text.includes(match)),
  ofTexts('starts with', 'string: string, match: string', (text, match) => text.startsWith(match)),
  ofTexts('ends with', 'string: string, match: string', (text, match) => text.endsWith(match)),
  new Builtin('matches').with('input: string, pattern: string, flags: string??', matches),
  new Builtin('replace').with('input: string, pattern: string, replacement: string, flags: string??', replace),
  new Builtin('split').with('string: string, delimiter: string', split),
  new Builtin('string join').with('list: list, delimiter: string??', join),
  new Builtin('string').with('from: any', ([from = null]) => textOf(from)),
  new Builtin('number').with('from: string, grouping separator: string??, decimal separator: string??', number),
];
