import type { PolicyDocument } from '../../../../policies/policies.contract.js';
import { isSameValue, type Draft } from './draft-history.js';

/** One place of a document that was changed. */
export interface Change {
  /** The way to it: members by name, things of a list by their id. */
  readonly path: readonly string[];
  /** Absent: it was not there. */
  readonly was?: unknown;
  /** Absent: it is not there any more. */
  readonly becomes?: unknown;
}

/** Two people's changes of one draft, put together. */
export interface Merged {
  readonly draft: Draft;
  /** What the other person changed. */
  readonly theirs: readonly Change[];
  /** Places that both changed, each to something else: what is in the draft is one's own. */
  readonly both: readonly (Change & { readonly theirs?: unknown })[];
}

/**
 * Puts one's own changes on top of somebody else's.
 * @param base what both began with
 * @param mine what one has written
 * @param theirs what the service has now
 */
export function mergeDrafts(base: Draft, mine: Draft, theirs: Draft): Merged {
  const [was, own, other] = [wrapped(base), wrapped(mine), wrapped(theirs)];
  const both: (Change & { readonly theirs?: unknown })[] = [];
  const merged = mergeValues({ was, own, other }, [], both) as Wrapped;
  const { effectiveFrom, effectiveTo, document } = merged;
  return {
    draft: { document, effectiveFrom, ...(effectiveTo === undefined ? {} : { effectiveTo }) },
    theirs: changesBetween(was, other),
    both,
  };
}

interface Wrapped {
  readonly effectiveFrom: string;
  readonly effectiveTo?: string;
  readonly document: PolicyDocument;
}

function wrapped({ document, effectiveFrom, effectiveTo }: Draft): Wrapped {
  return { effectiveFrom, ...(effectiveTo === undefined ? {} : { effectiveTo }), document };
}

interface Three {
  readonly was: unknown;
  readonly own: unknown;
  readonly other: unknown;
}

function mergeValues({ was, own, other }: Three, path: readonly string[], both: Change[]): unknown {
  if (isSameValue(own, was) || isSameValue(own, other)) return other;
  if (isSameValue(other, was)) return own;
  if (isList(was) && isList(own) && isList(other)) return mergeLists({ was, own, other }, path, both);
  if (isRecord(was) && isRecord(own) && isRecord(other)) return mergeRecords({ was, own, other }, path, both);
  both.push({ path, ...there('was', was), ...there('becomes', own), ...there('theirs', other) });
  return own;
}

type Fields = Readonly<Record<string, unknown>>;

function mergeRecords(
  { was, own, other }: { readonly was: Fields; readonly own: Fields; readonly other: Fields },
  path: readonly string[],
  both: Change[],
): Fields {
  const names = [...new Set([...Object.keys(other), ...Object.keys(own)])];
  return Object.fromEntries(
    names.flatMap((name) => {
      const value = mergeValues({ was: was[name], own: own[name], other: other[name] }, [...path, name], both);
      return value === undefined ? [] : [[name, value] as const];
    }),
  );
}

type Named = readonly { readonly id: string }[];

function mergeLists(
  { was, own, other }: { readonly was: Named; readonly own: Named; readonly other: Named },
  path: readonly string[],
  both: Change[],
): Named {
  const find = (list: Named, id: string) => list.find((each) => each.id === id);
  const ids = (list: Named) => list.map(({ id }) => id);
  return orderOf(ids(was), ids(own), ids(other)).flatMap((id) => {
    const three = { was: find(was, id), own: find(own, id), other: find(other, id) };
    const value = mergeValues(three, [...path, id], both);
    return value === undefined ? [] : [value as Named[number]];
  });
}

/** All names that either has, in the order of whoever moved them; new ones stand behind what they stood behind. */
function orderOf(was: readonly string[], own: readonly string[], other: readonly string[]): readonly string[] {
  const kept = was.filter((name) => own.includes(name) && other.includes(name));
  const moved = kept.some((name, at) => own.filter((each) => kept.includes(each))[at] !== name);
  const [lead, follow] = moved ? [own, other] : [other, own];
  const order = [...lead];
  follow.forEach((name, at) => {
    if (order.includes(name)) return;
    const before = follow.slice(0, at).findLast((each) => order.includes(each));
    order.splice(before === undefined ? 0 : order.indexOf(before) + 1, 0, name);
  });
  return order;
}

/** Every place in which two JSON values differ, as deep as names and ids lead. */
export function changesBetween(was: unknown, becomes: unknown, path: readonly string[] = []): readonly Change[] {
  if (isSameValue(was, becomes)) return [];
  const [left, right] = [partsOf(was), partsOf(becomes)];
  if (left === undefined || right === undefined) return [{ path, ...there('was', was), ...there('becomes', becomes) }];
  const names = [...new Set([...Object.keys(left), ...Object.keys(right)])];
  const changes = names.flatMap((name) => changesBetween(left[name], right[name], [...path, name]));
  // The same things in another order.
  return changes.length > 0 ? changes : [{ path, was: Object.keys(left), becomes: Object.keys(right) }];
}

function partsOf(value: unknown): Fields | undefined {
  if (isList(value)) return Object.fromEntries(value.map((each) => [each.id, each]));
  return isRecord(value) ? value : undefined;
}

/** A list whose things have ids of their own. */
function isList(value: unknown): value is Named {
  if (!Array.isArray(value) || value.length === 0) return false;
  const ids = value.map((each: unknown) => (isRecord(each) && typeof each['id'] === 'string' ? each['id'] : undefined));
  return !ids.includes(undefined) && new Set(ids).size === ids.length;
}

function isRecord(value: unknown): value is Fields {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function there(name: 'was' | 'becomes' | 'theirs', value: unknown): Readonly<Record<string, unknown>> {
  return value === undefined ? {} : { [name]: value };
}

/** A change in a sentence, for whoever did not make it. */
export function changeWords({ path, was, becomes }: Change): string {
  const place = path.filter((name) => !['document', 'decisions', 'table', 'rules', 'when', 'then'].includes(name));
  const where = place.join(' \u203a ');
  if (was === undefined) return `${where}: added, ${shown(becomes)}`;
  if (becomes === undefined) return `${where}: taken out, was ${shown(was)}`;
  return `${where}: was ${shown(was)}, is ${shown(becomes)}`;
}

function shown(value: unknown): string {
  const text = typeof value === 'string' ? value : JSON.stringify(value);
  return text.length > 120 ? `${text.slice(0, 117)}\u2026` : text;
}
