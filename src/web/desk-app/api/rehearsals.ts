import { useInfiniteQuery, useMutation, useQuery, useQueryClient, type UseQueryResult } from '@tanstack/react-query';
import type {
  ChangeKind,
  ChangeOrder,
  RehearsalChange,
  RehearsalResult,
  RehearsalState,
} from '../../../policies/rehearsals.contract.js';
import { read, send, Trouble } from './http.js';
import { useIntent } from './intent.js';
import type { Paged } from './recoveries.js';
import type { Why } from './records.js';

/** Which past claims are gone through, and against what. */
export interface RehearsalWish {
  readonly from?: string;
  readonly to?: string;
  readonly sample?: number;
  readonly against?: number;
  readonly on?: string;
}

/** A rehearsal, how far it is, and once it has finished what it found. */
export interface Rehearsal {
  readonly id: string;
  readonly code: string;
  readonly version: number;
  readonly hash: string;
  readonly state: RehearsalState;
  readonly wish: RehearsalWish;
  readonly oneIn?: number;
  readonly comparedWith?: number;
  readonly claims?: number;
  readonly done: number;
  readonly askedBy: string;
  readonly askedAt: string;
  readonly finishedAt?: string;
  readonly result?: RehearsalResult;
  readonly problem?: string;
}

/** How one version came to what it says of a claim. */
export interface Way extends Why {
  readonly version: number;
}

/** A claim that comes out otherwise, rule by rule under both versions. */
export interface RehearsedClaim {
  readonly change: RehearsalChange;
  readonly was?: Way;
  readonly becomes?: Way;
}

export function isOver({ state }: Rehearsal): boolean {
  return state !== 'waiting' && state !== 'running';
}

/** How often a rehearsal that goes on is asked for, should the line that tells changes be cut. */
const LOOK_AGAIN_MS = 3_000;

/** One rehearsal; while it goes on, the service tells when it has got further. */
export function useRehearsal(id: string): UseQueryResult<Rehearsal> {
  return useQuery({
    queryKey: ['rehearsal', id],
    queryFn: async ({ signal }) => (await read<Rehearsal>(`/v1/rehearsals/${id}`, signal)).body,
    refetchInterval: ({ state: { data } }) => (data === undefined || isOver(data) ? false : LOOK_AGAIN_MS),
  });
}

/** The newest rehearsals of a policy. */
export function useRehearsals(code: string): UseQueryResult<Paged<Rehearsal>> {
  return useQuery({
    queryKey: ['rehearsals', code],
    queryFn: async ({ signal }) =>
      (await read<Paged<Rehearsal>>(`/v1/policies/${encodeURIComponent(code)}/rehearsals?limit=50`, signal)).body,
  });
}

/** Claims that come out otherwise, a page at a time. @param kind empty for all */
export function useChanges(id: string, kind: ChangeKind | '', order: ChangeOrder) {
  return useInfiniteQuery({
    queryKey: ['rehearsal', id, 'changes', kind, order],
    initialPageParam: '',
    queryFn: async ({ signal, pageParam }) => {
      const query = new URLSearchParams({
        limit: '50',
        order,
        ...(kind === '' ? {} : { kind }),
        ...(pageParam === '' ? {} : { cursor: pageParam }),
      });
      return (await read<Paged<RehearsalChange>>(`/v1/rehearsals/${id}/changes?${query.toString()}`, signal)).body;
    },
    getNextPageParam: (page) => page.next,
  });
}

export function useRehearsedClaim(id: string, record: string): UseQueryResult<RehearsedClaim> {
  return useQuery({
    queryKey: ['rehearsal', id, 'claim', record],
    queryFn: async ({ signal }) => (await read<RehearsedClaim>(`/v1/rehearsals/${id}/changes/${record}`, signal)).body,
  });
}

/** Starts a rehearsal. The same wish sent again is the same rehearsal. */
export function useRehearsing(of: { readonly code: string; readonly version: number }, onBegun: (id: string) => void) {
  const queries = useQueryClient();
  const keyOf = useIntent();
  const sending = useMutation({
    mutationFn: async (wish: RehearsalWish) => {
      const address = `/v1/policies/${encodeURIComponent(of.code)}/versions/${of.version}/rehearsals`;
      return (await send<Rehearsal>(address, { method: 'POST', body: wish, key: keyOf([of, wish]) })).body;
    },
    onSuccess: (made) => {
      void queries.invalidateQueries({ queryKey: ['rehearsals'] });
      onBegun(made.id);
    },
  });
  return {
    run: (wish: RehearsalWish) => sending.mutate(wish),
    trouble: sending.error instanceof Trouble ? sending.error : undefined,
    running: sending.isPending,
  };
}

/** Stops a rehearsal. */
export function useStopping(id: string) {
  const queries = useQueryClient();
  const sending = useMutation({
    mutationFn: () => send(`/v1/rehearsals/${id}/cancellation`, { method: 'POST', body: {} }),
    onSettled: async () => {
      await queries.invalidateQueries({ queryKey: ['rehearsal', id] });
      void queries.invalidateQueries({ queryKey: ['rehearsals'] });
    },
  });
  return {
    run: () => sending.mutate(),
    trouble: sending.error instanceof Trouble ? sending.error : undefined,
    running: sending.isPending,
  };
}
