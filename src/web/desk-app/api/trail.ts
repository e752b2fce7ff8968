import { useInfiniteQuery } from '@tanstack/react-query';
import { useRef, useState } from 'react';
import type { ChainsChecked, TrailEntry } from '../../../insight/trail.contract.js';
import { read, Trouble } from './http.js';

/** One thing that somebody did, as the interface tells it. */
export interface TrailLine extends Pick<TrailEntry, 'source' | 'about' | 'n' | 'kind' | 'at' | 'actor'> {
  readonly words: string;
  readonly label?: string;
  readonly claim?: string;
  readonly hash?: string;
}

/** What is looked for; empty for all. `from` and `to` are days by the clock of whoever looks. */
export interface TrailWish {
  readonly source: string;
  readonly who: string;
  readonly kind: string;
  readonly claim: string;
  readonly from: string;
  readonly to: string;
}

/** The wish as the interface reads it: days become instants. */
export function trailQuery({ from, to, ...plain }: TrailWish): URLSearchParams {
  const query = new URLSearchParams();
  for (const [name, value] of Object.entries(plain)) if (value !== '') query.set(name, value);
  const start = from === '' ? undefined : startOf(from, 0);
  const end = to === '' ? undefined : startOf(to, 1);
  if (start !== undefined) query.set('from', start);
  if (end !== undefined) query.set('to', end);
  return query;
}

function startOf(day: string, later: number): string | undefined {
  try {
    const date = Temporal.PlainDate.from(day).add({ days: later });
    return date.toZonedDateTime(Temporal.Now.timeZoneId()).toInstant().toString();
  } catch {
    return undefined;
  }
}

/** Who did what, the newest first. */
export function useTrail(wish: TrailWish) {
  return useInfiniteQuery({
    queryKey: ['trail', wish],
    initialPageParam: '',
    queryFn: async ({ signal, pageParam }) => {
      const query = trailQuery(wish);
      query.set('limit', '100');
      if (pageParam !== '') query.set('cursor', pageParam);
      const address = `/v1/events?${query.toString()}`;
      return (await read<{ readonly items: readonly TrailLine[]; readonly next?: string }>(address, signal)).body;
    },
    getNextPageParam: (page) => page.next,
  });
}

/** How far the chains of claims have been walked. */
export interface Walked {
  readonly claims: number;
  readonly events: number;
  readonly faults: ChainsChecked['faults'];
  readonly done: boolean;
}

/** Walks the chains of all claims, part by part, until the end or until it is told to stop. */
export function useChains() {
  const [walked, setWalked] = useState<Walked>();
  const [walking, setWalking] = useState(false);
  const [trouble, setTrouble] = useState<Trouble>();
  const stopped = useRef(false);
  const walk = async (): Promise<void> => {
    stopped.current = false;
    setWalking(true);
    setTrouble(undefined);
    let sum: Walked = { claims: 0, events: 0, faults: [], done: false };
    try {
      for (let after: string | undefined = ''; after !== undefined && !stopped.current;) {
        const address = `/v1/events/chains${after === '' ? '' : `?after=${after}`}`;
        const part: ChainsChecked = (await read<ChainsChecked>(address)).body;
        after = part.next;
        sum = {
          claims: sum.claims + part.claims,
          events: sum.events + part.events,
          faults: [...sum.faults, ...part.faults],
          done: after === undefined,
        };
        setWalked(sum);
      }
    } catch (error) {
      if (!(error instanceof Trouble)) throw error;
      setTrouble(error);
    } finally {
      setWalking(false);
    }
  };
  return { walked, walking, trouble, walk: () => void walk(), stop: () => (stopped.current = true) };
}
