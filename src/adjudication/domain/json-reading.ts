import { pointer, type Fault } from '../../kernel/outcome.js';

/**
 * Reads one JSON value at a pointer. Says every fault that it finds and answers undefined when there was any; a value is never
 * guessed, coerced or defaulted.
 */
export type Read<T> = (value: unknown, at: string, faults: Fault[]) => T | undefined;

/** One member of an object. */
export interface Field<T> {
  readonly read: Read<T>;
  readonly optional: boolean;
}

/** A field for each member of T: optional ones may be left out, none may be null unless its reader allows it. */
export type Fields<T> = { readonly [K in keyof T]-?: Field<Exclude<T[K], undefined>> };

/** A member that must be there. */
export function must<T>(read: Read<T>): Field<T> {
  return { read, optional: false };
}

/** A member that may be left out. */
export function may<T>(read: Read<T>): Field<T> {
  return { read, optional: true };
}

/** Text of `least` to `most` characters, by default 1 to 200, that matches a pattern where one is given. */
export function text(
  limits: {
    readonly least?: number;
    readonly most?: number;
    readonly pattern?: RegExp;
    readonly says?: string;
  } = {},
): Read<string> {
  const { least = 1, most = 200, pattern, says } = limits;
  return (value, at, faults) => {
    if (typeof value !== 'string') return refuse(faults, at, `must be text, not ${kindOf(value)}`);
    if (value.length < least) return refuse(faults, at, 'must not be empty');
    // Characters are counted as code points, as JSON Schema counts them.
    const length = value.length > most ? Array.from(value).length : value.length;
    if (length > most) return refuse(faults, at, `must have at most ${most} characters, not ${length}`);
    if (pattern && !pattern.test(value)) return refuse(faults, at, `must be ${says ?? 'in another form'}`);
    return value;
  };
}

/** A whole number from `least` to `most`. */
export function whole(least: number, most: number): Read<number> {
  return (value, at, faults) => {
    if (typeof value !== 'number' || !Number.isSafeInteger(value)) {
      return refuse(faults, at, `must be a whole number, not ${typeof value === 'number' ? value : kindOf(value)}`);
    }
    if (value < least || value > most) return refuse(faults, at, `must be from ${least} to ${most}, not ${value}`);
    return value === 0 ? 0 : value;
  };
}

/** One of a closed list of words. */
export function oneOf<const T extends string>(words: readonly T[]): Read<T> {
  return (value, at, faults) => {
    const found = words.find((word) => word === value);
    if (found !== undefined) return found;
    const given = typeof value === 'string' ? `"${value.slice(0, 60)}"` : kindOf(value);
    return refuse(faults, at, `must be one of: ${words.join(', ')}; it is ${given}`);
  };
}

/** true or false. */
export const flag: Read<boolean> = (value, at, faults) =>
  typeof value === 'boolean' ? value : refuse(faults, at, `must be true or false, not ${kindOf(value)}`);

/** The value or null. */
export function orNull<T>(read: Read<T>): Read<T | null> {
  return (value, at, faults) => (value === null ? null : read(value, at, faults));
}

/** A list with at most `most` entries. */
export function list<T>(read: Read<T>, most: number): Read<readonly T[]> {
  return (value, at, faults) => {
    if (!Array.isArray(value)) return refuse(faults, at, `must be a list, not ${kindOf(value)}`);
    if (value.length > most) return refuse(faults, at, `must have at most ${most} entries, not ${value.length}`);
    const before = faults.length;
    const entries = value.map((entry: unknown, index) => read(entry, pointer(at, index), faults));
    return faults.length === before ? (entries as T[]) : undefined;
  };
}

/** An object with exactly these members; unknown ones are refused. */
export function object<T extends object>(fields: Fields<T>): Read<T> {
  const names = Object.keys(fields) as (keyof T & string)[];
  return (value, at, faults) => {
    if (!isObject(value)) return refuse(faults, at, `must be an object, not ${kindOf(value)}`);
    const before = faults.length;
    for (const name of Object.keys(value)) {
      if (!names.includes(name as keyof T & string)) {
        refuse(faults, pointer(at, name), `is not known here; the fields are: ${names.join(', ')}`);
      }
    }
    const result: Partial<T> = {};
    for (const name of names) {
      const field: Field<unknown> = fields[name];
      if (!Object.hasOwn(value, name)) {
        if (!field.optional) refuse(faults, pointer(at, name), 'is missing');
        continue;
      }
      result[name] = field.read(value[name], pointer(at, name), faults) as T[typeof name];
    }
    return faults.length === before ? (result as T) : undefined;
  };
}

/** An object whose member names are data, such as pieces by part number. */
export function byName<T>(read: Read<T>, most: number): Read<Readonly<Record<string, T>>> {
  return (value, at, faults) => {
    if (!isObject(value)) return refuse(faults, at, `must be an object, not ${kindOf(value)}`);
    const names = Object.keys(value);
    if (names.length > most) return refuse(faults, at, `must have at most ${most} members, not ${names.length}`);
    const before = faults.length;
    const entries = names.map((name) => [name, read(value[name], pointer(at, name), faults)] as const);
    return faults.length === before ? (Object.fromEntries(entries) as Record<string, T>) : undefined;
  };
}

/** Says a fault and answers undefined. */
export function refuse(faults: Fault[], at: string, says: string): undefined {
  const name = at === '#' ? 'The document' : `"${lastStep(at)}"`;
  faults.push({ pointer: at, detail: `${name} ${says}.` });
  return undefined;
}

function lastStep(at: string): string {
  const steps = at.split('/').map((step) => step.replaceAll('~1', '/').replaceAll('~0', '~'));
  const last = steps.at(-1) ?? '';
  return /^\d+$/.test(last) ? `${steps.at(-2) ?? ''} ${Number(last) + 1}` : last;
}

function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function kindOf(value: unknown): string {
  if (value === null) return 'null';
  if (Array.isArray(value)) return 'a list';
  switch (typeof value) {
    case 'string':
      return 'text';
    case 'number':
      return 'a number';
    case 'boolean':
      return 'true or false';
    case 'object':
      return 'an object';
    default:
      return 'nothing';
  }
}
