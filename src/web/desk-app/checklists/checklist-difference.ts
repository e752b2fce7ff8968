import type { Checklist, ChecklistItem } from '../../../inspections/inspections.contract.js';
import { canonicalJson } from '../../../kernel/canonical-json.js';

/** What differs between two versions of a checklist, check by check. */
export interface ChecklistDifference {
  readonly added: readonly ChecklistItem[];
  readonly removed: readonly ChecklistItem[];
  /** Checks that are in both, and the fields in which they differ. */
  readonly changed: readonly { readonly item: ChecklistItem; readonly fields: readonly string[] }[];
  /** The checks that are in both come in another order. */
  readonly moved: boolean;
  /** Parts around the checks that differ: title, cautions, stops, titles of sections. */
  readonly around: readonly string[];
  /** Observations that the older version could yield and the newer cannot: an evidence model may rest on them. */
  readonly lost: readonly string[];
}

const FIELD_WORDS: Readonly<Record<string, string>> = {
  ask: 'question',
  help: 'help',
  component: 'component',
  answer: 'answer',
  askIf: 'conditions',
  photos: 'photos',
  yields: 'observations',
  raises: 'safety stops',
};

/** What changed from one version to another; order within an object does not count (RFC 8785). */
export function checklistDifference(before: Checklist, after: Checklist): ChecklistDifference {
  const [old, now] = [itemsOf(before), itemsOf(after)];
  const kept = now.flatMap((item) => {
    const was = old.find(({ id }) => id === item.id);
    return was === undefined ? [] : [{ was, item }];
  });
  const order = (items: readonly ChecklistItem[]): string =>
    items.flatMap(({ id }) => (kept.some(({ item }) => item.id === id) ? [id] : [])).join(' ');
  const yielded = new Set(now.flatMap(({ yields = [] }) => yields.map(({ observation }) => observation)));
  return {
    added: now.filter(({ id }) => !old.some((each) => each.id === id)),
    removed: old.filter(({ id }) => !now.some((each) => each.id === id)),
    changed: kept.flatMap(({ was, item }) => {
      const fields = Object.keys(FIELD_WORDS).filter((name) => differ(was, item, name as keyof ChecklistItem));
      return fields.length === 0 ? [] : [{ item, fields: fields.map((name) => FIELD_WORDS[name] ?? name) }];
    }),
    moved: order(old) !== order(now),
    around: [
      ...(['title', 'family', 'cautions', 'stops'] as const).filter((name) => !same(before[name], after[name])),
      ...(same(titlesOf(before), titlesOf(after)) ? [] : ['sections']),
    ],
    lost: [...new Set(old.flatMap(({ yields = [] }) => yields.map(({ observation }) => observation)))].filter(
      (observation) => !yielded.has(observation),
    ),
  };
}

/** Whether nothing differs. */
export function isSame({ added, removed, changed, moved, around }: ChecklistDifference): boolean {
  return added.length + removed.length + changed.length + around.length === 0 && !moved;
}

function itemsOf({ sections }: Checklist): readonly ChecklistItem[] {
  return sections.flatMap(({ items }) => items);
}

function titlesOf({ sections }: Checklist) {
  return sections.map(({ id, title }) => ({ id, title }));
}

function differ(a: ChecklistItem, b: ChecklistItem, name: keyof ChecklistItem): boolean {
  return !same(a[name], b[name]);
}

function same(a: unknown, b: unknown): boolean {
  if (a === undefined || b === undefined) return a === b;
  return canonicalJson(a) === canonicalJson(b);
}
