import type { FactType, PolicyTable } from '../policies.contract.js';

/** Namespace of the interchange format that is written: DMN 1.3 (OMG, dmn/20191111/MODEL). */
export const DMN_13 = 'https://www.omg.org/spec/DMN/20191111/MODEL/';

/** Namespaces that are read: DMN 1.2 to 1.5, which agree in everything that is taken over here. */
export const DMN_READ: readonly string[] = [
  'http://www.omg.org/spec/DMN/20180521/MODEL/',
  DMN_13,
  'https://www.omg.org/spec/DMN/20211108/MODEL/',
  'https://www.omg.org/spec/DMN/20230324/MODEL/',
];

/** Namespace of what a policy document says and the interchange format has no place for. */
export const OWN = 'urn:as-noted:policy:1';

/** Version of the expression language that DMN 1.3 takes for granted. */
export const FEEL_13 = 'https://www.omg.org/spec/DMN/20191111/FEEL/';

type Hit = PolicyTable['hit'];

const HITS: readonly (readonly [Hit, string])[] = [
  ['unique', 'UNIQUE'],
  ['any', 'ANY'],
  ['first', 'FIRST'],
  ['priority', 'PRIORITY'],
  ['rule order', 'RULE ORDER'],
  ['output order', 'OUTPUT ORDER'],
  ['collect', 'COLLECT'],
];

/** Name of a hit policy in the interchange format. */
export function hitToDmn(hit: Hit): string {
  return HITS.find(([own]) => own === hit)?.[1] ?? 'UNIQUE';
}

/** Hit policy by its name in the interchange format; without one it is UNIQUE (DMN 1.3, 8.2.10). */
export function hitFromDmn(name: string | null): Hit | undefined {
  return HITS.find(([, theirs]) => theirs === (name ?? 'UNIQUE'))?.[0];
}

/** Base type of the expression language for a type of ours: it has one kind of number. */
export function feelType({ type }: FactType): string {
  switch (type) {
    case 'enum':
    case 'text':
      return 'string';
    case 'integer':
    case 'decimal':
      return 'number';
    case 'boolean':
    case 'date':
      return type;
  }
}

/** What a type allows, as unary tests; undefined where it allows everything of its base type. */
export function allowedValues(type: FactType): string | undefined {
  if (type.type === 'enum') return type.values.map(quoted).join(', ');
  if (type.type !== 'integer' && type.type !== 'decimal') return undefined;
  const { min, max } = type;
  if (min !== undefined && max !== undefined) return `[${min}..${max}]`;
  if (min !== undefined) return `>= ${min}`;
  return max === undefined ? undefined : `<= ${max}`;
}

/** A text as the expression language writes it. */
export function quoted(text: string): string {
  return `"${text
    .replaceAll('\\', '\\\\')
    .replaceAll('"', String.raw`\"`)
    .replaceAll('\n', String.raw`\n`)}"`;
}

/** Texts of a list such as `"a", "b"`; undefined where it is anything else. */
export function quotedList(text: string): string[] | undefined {
  const one = String.raw`"(?:[^"\\]|\\.)*"`;
  if (!new RegExp(`^\\s*${one}(?:\\s*,\\s*${one})*\\s*$`).test(text)) return undefined;
  return [...text.matchAll(new RegExp(one, 'g'))].map(([match]) => unquoted(match));
}

/** The text that a quoted one stands for. */
export function unquoted(text: string): string {
  return text.slice(1, -1).replaceAll(/\\(["\\n])/g, (_, letter: string) => (letter === 'n' ? '\n' : letter));
}
