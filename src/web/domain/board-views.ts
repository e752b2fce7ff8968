import type { ClaimState, Ground } from '../../kernel/vocabulary.js';

/** A view of the retailer's board: which claims it shows, and what stands there when there are none. */
export interface BoardFilter {
  readonly id: 'all' | 'open' | 'yours' | 'decided' | 'closed';
  readonly says: string;
  readonly empty: string;
  /** Absent: every state. */
  readonly states?: readonly ClaimState[];
  /** Only claims with an open question to the retailer. */
  readonly asked?: 'retailer';
}

const ALL: BoardFilter = {
  id: 'all',
  says: 'All',
  empty: 'There is no claim on your deliveries. When a crew files one, it appears here.',
};

/** The views in the order in which they stand on the board. */
export const BOARD_VIEWS: readonly BoardFilter[] = [
  ALL,
  {
    id: 'open',
    says: 'Open',
    empty: 'No claim of yours is open. New ones appear here when a crew files them.',
    states: ['draft', 'filed', 'assessing', 'needs information', 'proposed'],
  },
  {
    id: 'yours',
    says: 'Needs something from you',
    empty: 'Nobody waits for you. When the desk asks you something, the claim stands here until you answer.',
    asked: 'retailer',
  },
  {
    id: 'decided',
    says: 'Decided',
    empty: 'No decision is being carried out. What is settled stands under “Closed”.',
    states: ['decided', 'settling'],
  },
  {
    id: 'closed',
    says: 'Closed',
    empty: 'No claim of yours is settled, closed or withdrawn yet.',
    states: ['settled', 'closed', 'withdrawn'],
  },
];

/** The view of that name, or all claims. */
export function boardView(id: string): BoardFilter {
  return BOARD_VIEWS.find((view) => view.id === id) ?? ALL;
}

/** What somebody has chosen on the board. */
export interface BoardChoice {
  readonly view: BoardFilter;
  /** Part of a claim number, serial number or order; empty: any. */
  readonly find: string;
  /** Empty: any. */
  readonly ground: Ground | '';
}

/** What a choice leaves of the claims. */
export function boardFilter({
  view: { states, asked },
  find,
  ground,
}: BoardChoice): Pick<BoardFilter, 'states' | 'asked'> & { readonly find?: string; readonly ground?: Ground } {
  return {
    ...(states === undefined ? {} : { states }),
    ...(asked === undefined ? {} : { asked }),
    ...(find === '' ? {} : { find }),
    ...(ground === '' ? {} : { ground }),
  };
}

/** Address of the board or its file, with what was chosen there. @param extra what else stands in the address */
export function boardAddress(
  path: '/claims' | '/claims/export' | '/claims/export/file',
  { view, find, ground }: BoardChoice,
  extra: Readonly<Record<string, string>> = {},
): string {
  const chosen = {
    ...(view.id === 'all' ? {} : { view: view.id }),
    ...(find === '' ? {} : { find }),
    ...(ground === '' ? {} : { ground }),
    ...extra,
  };
  const query = new URLSearchParams(chosen).toString();
  return query === '' ? path : `${path}?${query}`;
}

const ENDED: readonly ClaimState[] = ['settled', 'closed', 'withdrawn'];

/** For how many whole days a claim has been open; undefined where it has ended. @param openedAt RFC 3339 @param now RFC 3339 */
export function daysOpen(state: ClaimState, openedAt: string, now: string): number | undefined {
  if (ENDED.includes(state)) return undefined;
  const hours = Temporal.Instant.from(now).since(Temporal.Instant.from(openedAt)).total('hours');
  return Math.max(0, Math.floor(hours / 24));
}
