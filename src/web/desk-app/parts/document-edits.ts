import { isPlainObject } from '../../../kernel/shape.js';

// Changes of a JSON document by JSON Pointers (RFC 6901) in fragment form. Nothing is changed in place, so that each state can be kept.

function steps(at: string): string[] {
  return at
    .replace(/^#\/?/, '')
    .split('/')
    .filter((step) => step !== '')
    .map((step) => step.replaceAll('~1', '/').replaceAll('~0', '~'));
}

/** What stands at a pointer; undefined where nothing does. */
export function valueAt(document: unknown, at: string): unknown {
  return steps(at).reduce<unknown>(childOf, document);
}

function childOf(value: unknown, step: string): unknown {
  if (Array.isArray(value)) return value[Number(step)] as unknown;
  return isPlainObject(value) ? value[step] : undefined;
}

/** The list at a pointer; empty where there is none. */
export function listAt(document: unknown, at: string): readonly unknown[] {
  const value = valueAt(document, at);
  return Array.isArray(value) ? value : [];
}

/** The document with another value at a pointer; undefined takes the field away. */
export function withValue<T>(document: T, at: string, value: unknown): T {
  return changed(document, steps(at), value) as T;
}

function changed(into: unknown, [step, ...rest]: readonly string[], value: unknown): unknown {
  if (step === undefined) return value;
  if (Array.isArray(into)) {
    return into.map((each: unknown, index) => (index === Number(step) ? changed(each, rest, value) : each));
  }
  const fields = isPlainObject(into) ? into : {};
  const inside = changed(fields[step], rest, value);
  if (inside === undefined) return Object.fromEntries(Object.entries(fields).filter(([name]) => name !== step));
  return { ...fields, [step]: inside };
}

/** The document with a list that has one entry more. */
export function withEntry<T>(document: T, list: string, entry: unknown, index?: number): T {
  const entries = listAt(document, list);
  return withValue(document, list, entries.toSpliced(index ?? entries.length, 0, entry));
}

/** The document without an entry of a list. @param keepEmpty whether the list stays when it is empty; else the field goes */
export function withoutEntry<T>(document: T, list: string, index: number, keepEmpty = false): T {
  const left = listAt(document, list).toSpliced(index, 1);
  return withValue(document, list, left.length === 0 && !keepEmpty ? undefined : left);
}

/** The document with an entry of a list moved; at the ends it stays as it is. */
export function withMoved<T>(document: T, list: string, from: number, to: number): T {
  const entries = listAt(document, list);
  if (to < 0 || to >= entries.length) return document;
  return withValue(document, list, entries.toSpliced(from, 1).toSpliced(to, 0, entries[from]));
}

/** An id that is not taken yet: the wish, or the wish with a number. */
export function freeId(wish: string, taken: readonly string[]): string {
  if (!taken.includes(wish)) return wish;
  let number = 2;
  while (taken.includes(`${wish}-${number}`)) number += 1;
  return `${wish}-${number}`;
}
