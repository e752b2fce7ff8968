import { parseUuid } from '../kernel/ids.js';
import type { Fault } from '../kernel/outcome.js';
import { Invalid, PROBLEMS, Refused } from '../platform/http/problems.js';
import { VersionMatch } from '../platform/http/versions.js';

/** A form as it was sent. */
export type Form = Readonly<Record<string, unknown>>;

/** The longest text that a field of a page takes, unless it says otherwise. */
const LONGEST = 2000;

/** One field as trimmed text; empty where it is missing, and the last one where it came more than once. */
export function text(form: Form | undefined, name: string): string {
  const value = form?.[name];
  const one: unknown = Array.isArray(value) ? value.at(-1) : value;
  return typeof one === 'string' ? one.replaceAll('\r\n', '\n').replaceAll('\u0000', '').trim() : '';
}

/** Every value of a field that may come more than once. */
export function texts(form: Form | undefined, name: string): string[] {
  const value = form?.[name];
  return [value].flat().filter((each): each is string => typeof each === 'string' && each !== '');
}

/** Text that has to be there. @param what how the field is called in the sentence @throws Invalid */
export function needText(form: Form, name: string, what: string, max = LONGEST): string {
  const value = text(form, name);
  if (value === '') throw fault(name, `${what} is missing. Fill it in.`);
  if (value.length > max) throw fault(name, `${what} has ${value.length} characters; shorten it to ${max}.`);
  return value;
}

/** Text that may be missing. @throws Invalid when it is too long */
export function maybeText(form: Form, name: string, what: string, max = LONGEST): string | undefined {
  return text(form, name) === '' ? undefined : needText(form, name, what, max);
}

/** One word of a closed list. @throws Invalid */
export function oneOf<T extends string>(form: Form, name: string, words: readonly T[], what: string): T {
  const value = text(form, name);
  const found = words.find((word) => word === value);
  if (found === undefined) throw fault(name, `${what} is missing. Choose one.`);
  return found;
}

/** An id that the page put into the form. @throws Invalid */
export function needId(form: Form, name: string): string {
  const id = parseUuid(text(form, name));
  if (id === undefined) throw fault(name, 'The form is not complete. Open the page again and fill it in once more.');
  return id;
}

/** The version that the person saw. @throws Invalid where the form holds none */
export function versionSeen(form: Form): VersionMatch {
  const version = text(form, 'version');
  if (!/^\d{1,9}$/.test(version))
    throw fault('version', 'The form is not complete. Open the page again and fill it in once more.');
  return VersionMatch.read(`"v${version}"`);
}

/** A refusal of one field. */
export function fault(name: string, detail: string): Invalid {
  return new Invalid([{ pointer: `#/${name}`, detail }]);
}

/** What stands on a page whose form was refused. */
export interface Trouble {
  readonly status: number;
  readonly code: string;
  readonly title: string;
  readonly detail: string;
  readonly faults: readonly Fault[];
}

/** Runs what a form asks for. An expected refusal becomes the trouble that the page shows; anything else is thrown on. */
export async function attempt<T>(
  work: () => Promise<T>,
): Promise<{ readonly ok: true; readonly value: T } | { readonly ok: false; readonly trouble: Trouble }> {
  try {
    return { ok: true, value: await work() };
  } catch (error) {
    if (!(error instanceof Refused) || GOES_ON.has(error.code)) throw error;
    return { ok: false, trouble: troubleOf(error) };
  }
}

/** Refusals that are about the whole page and not about the form on it. */
const GOES_ON: ReadonlySet<string> = new Set(['not-found', 'sign-in-required', 'link-expired', 'link-unknown']);

function troubleOf(refused: Refused): Trouble {
  const { status, title } = PROBLEMS[refused.code];
  const detail =
    refused instanceof Invalid ? 'Nothing was saved. What you typed is still here.' : (refused.detail ?? `${title}.`);
  return { status, code: refused.code, title, detail, faults: refused.faults };
}

/** The sentence about one field, where it has a fault. Faults inside a field count for the field. */
export function faultAt(trouble: Trouble | undefined, name: string): string | undefined {
  return trouble?.faults.find(({ pointer }) => pointer === `#/${name}` || pointer.startsWith(`#/${name}/`))?.detail;
}
