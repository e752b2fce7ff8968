/** A result that is either a value or a list of faults, for code that must report every fault at once. */
export type Outcome<T> =
  { readonly ok: true; readonly value: T } | { readonly ok: false; readonly faults: readonly Fault[] };

/** One thing wrong with an input: a JSON Pointer (RFC 6901, `#/a/0/b` fragment form) and a sentence a person understands. */
export interface Fault {
  readonly pointer: string;
  readonly detail: string;
}

/** A good outcome. */
export function good<T>(value: T): Outcome<T> {
  return { ok: true, value };
}

/** A bad outcome with at least one fault. */
export function bad<T>(...faults: readonly Fault[]): Outcome<T> {
  if (faults.length === 0) throw new RangeError('a bad outcome needs a fault');
  return { ok: false, faults };
}

/** Appends one step to a JSON Pointer in fragment form, escaping `~` and `/` (RFC 6901 section 3). */
export function pointer(base: string, step: string | number): string {
  return `${base}/${String(step).replaceAll('~', '~0').replaceAll('/', '~1')}`;
}
