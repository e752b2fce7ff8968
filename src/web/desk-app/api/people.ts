import { useInfiniteQuery, useMutation, useQuery, useQueryClient, type UseQueryResult } from '@tanstack/react-query';
import type { KeyScope } from '../../../access/access.contract.js';
import type { Role } from '../../../kernel/vocabulary.js';
import { read, send, Trouble } from './http.js';
import { useIntent } from './intent.js';

/** Somebody who can sign in, or could. */
export interface Person {
  readonly id: string;
  readonly name: string;
  readonly email: string;
  readonly roles: readonly Role[];
  readonly createdAt: string;
  /** uuid; for people of a retailer */
  readonly retailer?: string;
  readonly disabledAt?: string;
}

/** A key of a program, without its secret. */
export interface ProgramKey {
  readonly id: string;
  readonly name: string;
  /** The first letters of the secret. */
  readonly prefix: string;
  readonly scopes: readonly KeyScope[];
  readonly createdAt: string;
  readonly retailer?: string;
  readonly expiresAt?: string;
  readonly endedAt?: string;
  readonly lastUsedAt?: string;
}

/** A key as it is made: the secret comes this once. */
export interface MadeKey extends ProgramKey {
  readonly secret: string;
}

export interface Retailer {
  readonly id: string;
  readonly code: string;
  readonly name: string;
}

export interface PersonToAdd {
  readonly name: string;
  readonly email: string;
  readonly password: string;
  readonly roles: readonly Role[];
  readonly retailer?: string;
}

export interface KeyToMake {
  readonly name: string;
  readonly scopes: readonly KeyScope[];
  readonly retailer?: string;
  /** RFC 3339 */
  readonly expiresAt?: string;
}

interface List<T> {
  readonly items: readonly T[];
  readonly next?: string;
}

/** People in order of their names. */
export function usePeople() {
  return useInfiniteQuery({
    queryKey: ['people'],
    initialPageParam: '',
    queryFn: async ({ signal, pageParam }) => {
      const query = new URLSearchParams({ limit: '100', ...(pageParam === '' ? {} : { cursor: pageParam }) });
      return (await read<List<Person>>(`/v1/people?${query.toString()}`, signal)).body;
    },
    getNextPageParam: (page) => page.next,
  });
}

export function useRetailers(): UseQueryResult<readonly Retailer[]> {
  return useQuery({
    queryKey: ['retailers'],
    queryFn: async ({ signal }) => (await read<List<Retailer>>('/v1/retailers', signal)).body.items,
  });
}

export function useProgramKeys(): UseQueryResult<readonly ProgramKey[]> {
  return useQuery({
    queryKey: ['program-keys'],
    queryFn: async ({ signal }) => (await read<List<ProgramKey>>('/v1/api-keys', signal)).body.items,
  });
}

/** What is done to a person, one act at a time. */
export type PersonAct =
  | { readonly is: 'change'; readonly name: string; readonly roles: readonly Role[] }
  | { readonly is: 'password'; readonly password: string }
  | { readonly is: 'shut out' }
  | { readonly is: 'let in' };

/** Changes somebody, gives them a password, shuts them out or lets them in. */
export function usePersonAct(id: string, onDone: (act: PersonAct) => void) {
  const queries = useQueryClient();
  const sending = useMutation({
    mutationFn: (act: PersonAct) => {
      const at = `/v1/people/${id}`;
      switch (act.is) {
        case 'change':
          return send(at, { method: 'PATCH', body: { name: act.name, roles: act.roles } });
        case 'password':
          return send(`${at}/password`, { method: 'PUT', body: { password: act.password } });
        case 'shut out':
          return send(`${at}/disablement`, { method: 'POST', body: {} });
        case 'let in':
          return send(`${at}/disablement`, { method: 'DELETE' });
      }
    },
    onSuccess: (_answer, act) => onDone(act),
    onSettled: () => queries.invalidateQueries({ queryKey: ['people'] }),
  });
  return {
    run: (act: PersonAct) => sending.mutate(act),
    running: sending.isPending,
    tried: sending.variables?.is,
    trouble: sending.error instanceof Trouble ? sending.error : undefined,
  };
}

/** Adds somebody; the same wish sent again adds them once. */
export function useAddPerson(onAdded: (person: Person) => void) {
  const queries = useQueryClient();
  const keyOf = useIntent();
  const adding = useMutation({
    mutationFn: async (person: PersonToAdd) =>
      (await send<Person>('/v1/people', { method: 'POST', body: person, key: keyOf(person) })).body,
    onSuccess: onAdded,
    onSettled: () => queries.invalidateQueries({ queryKey: ['people'] }),
  });
  return {
    add: (person: PersonToAdd) => adding.mutate(person),
    running: adding.isPending,
    trouble: adding.error instanceof Trouble ? adding.error : undefined,
  };
}

/** Makes keys and ends them. */
export function useKeeping() {
  const queries = useQueryClient();
  const onSettled = () => queries.invalidateQueries({ queryKey: ['program-keys'] });
  const making = useMutation({
    // Every request is a key of its own: a repeated one would not show the secret again.
    mutationFn: async (key: KeyToMake) => (await send<MadeKey>('/v1/api-keys', { method: 'POST', body: key })).body,
    onSettled,
  });
  const ending = useMutation({
    mutationFn: (id: string) => send(`/v1/api-keys/${id}`, { method: 'DELETE' }),
    onSettled,
  });
  return {
    making,
    ending,
    makingTrouble: making.error instanceof Trouble ? making.error : undefined,
    endingTrouble: ending.error instanceof Trouble ? ending.error : undefined,
  };
}
