import type { ClaimState } from '../../kernel/vocabulary.js';

/** A view of the desk's queue. */
export interface QueueView {
  readonly id: string;
  readonly says: string;
  readonly states?: readonly ClaimState[];
  readonly awaiting?: boolean;
  /** Only what whoever looks has taken. */
  readonly mine?: true;
  readonly order: 'due' | 'newest';
  /** What stands there when nothing is in it. */
  readonly empty: string;
}

const OPEN: readonly ClaimState[] = [
  'filed',
  'assessing',
  'needs information',
  'proposed',
  'decided',
  'settling',
  'settled',
];

export const QUEUE_VIEWS: readonly [QueueView, ...QueueView[]] = [
  {
    id: 'to-decide',
    says: 'To decide',
    states: ['proposed'],
    awaiting: false,
    order: 'due',
    empty: 'Nothing waits for a decision. New claims appear here as soon as the service has made its proposal.',
  },
  {
    id: 'mine',
    says: 'My cases',
    states: ['draft', ...OPEN],
    mine: true,
    order: 'due',
    empty:
      'You have taken no claim. Press t in the queue, or Take in a case, and it is here until it is closed or you put it back.',
  },
  {
    id: 'second-person',
    says: 'Second person',
    awaiting: true,
    order: 'due',
    empty: 'No decision waits for a second person.',
  },
  {
    id: 'waiting',
    says: 'Waiting for information',
    states: ['needs information'],
    order: 'due',
    empty: 'Nobody owes us an answer.',
  },
  {
    id: 'to-settle',
    says: 'To settle and close',
    states: ['decided', 'settling', 'settled'],
    order: 'due',
    empty: 'Every decision has been carried out and closed.',
  },
  {
    id: 'open',
    says: 'Everything open',
    states: OPEN,
    order: 'due',
    empty: 'No claim is open.',
  },
  {
    id: 'all',
    says: 'All',
    order: 'newest',
    empty: 'There is no claim yet. The first one comes from a crew or a retailer.',
  },
];

/** The view of a name; the first where there is none of that name. */
export function queueView(id: string): QueueView {
  return QUEUE_VIEWS.find((view) => view.id === id) ?? QUEUE_VIEWS[0];
}

/** How many claims a view holds. @param counts claims by state @param awaiting claims that wait for a second person @param mine claims that whoever looks has */
export function countOf(
  view: QueueView,
  counts: Readonly<Partial<Record<ClaimState, number>>>,
  awaiting: number,
  mine: number,
): number {
  if (view.mine === true) return mine;
  if (view.awaiting === true) return awaiting;
  const states = view.states ?? (Object.keys(counts) as ClaimState[]);
  const all = states.reduce((sum, state) => sum + (counts[state] ?? 0), 0);
  return view.awaiting === false ? all - awaiting : all;
}
