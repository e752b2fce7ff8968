const STORED = 'as-noted-queue';
const SEARCH = 'as-noted-queue-search';

/** What the address of the queue said. */
type Search = Readonly<Partial<Record<'view' | 'find' | 'ground', string>>>;

/** Keeps the order of the claims that the queue showed last, in this tab only. @param ids uuids */
export function keepQueue(ids: readonly string[], search: Search): void {
  sessionStorage.setItem(STORED, ids.join(' '));
  sessionStorage.setItem(SEARCH, new URLSearchParams(search).toString());
}

/** The view of the queue that was shown last, to go back to it. */
export function lastSearch(): Search {
  return Object.fromEntries(new URLSearchParams(sessionStorage.getItem(SEARCH) ?? ''));
}

export interface Neighbours {
  readonly before: string | undefined;
  readonly next: string | undefined;
  /** Place in the queue, counted from 1, and how many there are; undefined for a claim that was not in it. */
  readonly place: { readonly n: number; readonly of: number } | undefined;
}

/** What stood before and after a claim in the queue that was shown last. A claim from elsewhere leads to the first of the queue. */
export function neighboursOf(id: string): Neighbours {
  const ids = (sessionStorage.getItem(STORED) ?? '').split(' ').filter((each) => each !== '');
  const at = ids.indexOf(id);
  if (at === -1) return { before: undefined, next: ids[0], place: undefined };
  return { before: ids[at - 1], next: ids[at + 1], place: { n: at + 1, of: ids.length } };
}
