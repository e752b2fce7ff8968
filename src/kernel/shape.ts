import type { Fault } from './outcome.js';
import { pointer } from './outcome.js';

/**
 * Checks one unknown value at a JSON Pointer and adds a fault for everything wrong with it.
 * Shapes compose, so that a whole document is read in one pass and every fault is reported at once.
 */
export type Shape = (value: unknown, at: string, faults: Fault[]) => void;

/** Every fault of a document read as the given shape; empty when it fits. Pointers start at `#`. */
export function shapeFaults(document: unknown, shape: Shape): Fault[] {
  const faults: Fault[] = [];
  shape(document, '#', faults);
  return faults;
}

/** A string of 1 to `maxLength` characters; `pattern` narrows it and `says` describes the pattern in words. */
export function text(maxLength: number, pattern?: RegExp, says?: string): Shape {
  return (value, at, faults) => {
    if (typeof value !== 'string') faults.push({ pointer: at, detail: 'This must be text.' });
    else if (value.trim() === '')
      faults.push({ pointer: at, detail: 'This text is empty; write something or leave it out.' });
    else if (value.length > maxLength)
      faults.push({
        pointer: at,
        detail: `This text has ${value.length} characters; at most ${maxLength} are allowed.`,
      });
    else if (pattern !== undefined && !pattern.test(value))
      faults.push({ pointer: at, detail: `"${value}" is not ${says ?? 'written as expected'}.` });
  };
}

/** An id in kebab case: lower-case letters, digits and single hyphens, starting with a letter. */
export const kebabId: Shape = text(
  80,
  /^[a-z][a-z0-9]*(?:-[a-z0-9]+)*$/,
  'an id of lower-case letters, digits and hyphens',
);

/** Exactly this value. */
export function exactly(expected: string): Shape {
  return (value, at, faults) => {
    if (value !== expected) faults.push({ pointer: at, detail: `This must be "${expected}".` });
  };
}

/** One of a closed list of words. */
export function oneOf(words: readonly string[]): Shape {
  return (value, at, faults) => {
    if (typeof value !== 'string' || !words.includes(value))
      faults.push({ pointer: at, detail: `This must be one of: ${words.join(', ')}.` });
  };
}

/** A finite number in a closed range; `whole` demands an integer, `open` leaves out both ends. */
export function number(range: { min: number; max: number; whole?: boolean; open?: boolean }): Shape {
  return (value, at, faults) => {
    if (typeof value !== 'number' || !Number.isFinite(value)) {
      faults.push({ pointer: at, detail: 'This must be a number.' });
      return;
    }
    if (range.whole === true && !Number.isInteger(value))
      faults.push({ pointer: at, detail: 'This must be a whole number.' });
    const outside =
      range.open === true ? value <= range.min || value >= range.max : value < range.min || value > range.max;
    if (outside) {
      const how =
        range.open === true ? `strictly between ${range.min} and ${range.max}` : `from ${range.min} to ${range.max}`;
      faults.push({ pointer: at, detail: `${value} is out of range; it must be ${how}.` });
    }
  };
}

/** true or false. */
export const flag: Shape = (value, at, faults) => {
  if (typeof value !== 'boolean') faults.push({ pointer: at, detail: 'This must be true or false.' });
};

/** A list of `min` to `max` entries of one shape. */
export function listOf(entry: Shape, size: { min: number; max: number }): Shape {
  return (value, at, faults) => {
    if (!Array.isArray(value)) {
      faults.push({ pointer: at, detail: 'This must be a list.' });
      return;
    }
    if (value.length < size.min || value.length > size.max)
      faults.push({
        pointer: at,
        detail: `This list has ${value.length} entries; ${size.min} to ${size.max} are allowed.`,
      });
    value.forEach((one: unknown, index) => entry(one, pointer(at, index), faults));
  };
}

/** An object with any keys, every value of one shape. */
export function mapOf(entry: Shape): Shape {
  return (value, at, faults) => {
    if (!isPlainObject(value)) {
      faults.push({ pointer: at, detail: 'This must be an object.' });
      return;
    }
    for (const [key, one] of Object.entries(value)) entry(one, pointer(at, key), faults);
  };
}

/** An object with exactly these fields: all of `required`, any of `optional`, nothing else. */
export function fields(
  required: Readonly<Record<string, Shape>>,
  optional: Readonly<Record<string, Shape>> = {},
): Shape {
  return (value, at, faults) => {
    if (!isPlainObject(value)) {
      faults.push({ pointer: at, detail: 'This must be an object.' });
      return;
    }
    for (const name of Object.keys(required))
      if (!Object.hasOwn(value, name)) faults.push({ pointer: at, detail: `The field "${name}" is missing.` });
    for (const [name, one] of Object.entries(value)) {
      const shape = Object.hasOwn(required, name)
        ? required[name]
        : Object.hasOwn(optional, name)
          ? optional[name]
          : undefined;
      if (shape === undefined) faults.push({ pointer: pointer(at, name), detail: `There is no field "${name}" here.` });
      else shape(one, pointer(at, name), faults);
    }
  };
}

/** One of several shapes, told apart by the word in one field. */
export function byTag(tag: string, shapes: Readonly<Record<string, Shape>>): Shape {
  return (value, at, faults) => {
    if (!isPlainObject(value)) {
      faults.push({ pointer: at, detail: 'This must be an object.' });
      return;
    }
    const word = value[tag];
    const shape = typeof word === 'string' && Object.hasOwn(shapes, word) ? shapes[word] : undefined;
    if (shape === undefined)
      faults.push({ pointer: pointer(at, tag), detail: `"${tag}" must be one of: ${Object.keys(shapes).join(', ')}.` });
    else shape(value, at, faults);
  };
}

/** True for objects as JSON has them, not for lists or null. */
export function isPlainObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** A sentence for people: English always, Spanish where someone has written it. */
export function words(maxLength: number): Shape {
  return fields({ en: text(maxLength) }, { es: text(maxLength) });
}
