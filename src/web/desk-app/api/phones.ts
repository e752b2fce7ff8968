import { useMutation, useQuery, useQueryClient, type UseQueryResult } from '@tanstack/react-query';
import type { OwingPhone, PhoneStanding } from '../../../inspections/phones.contract.js';
import type { CasePhones } from '../../domain/case-phones.js';
import { read, send, Trouble } from './http.js';
import { useIntent } from './intent.js';

/** A phone as the interface tells it: what is not there is left out. */
export interface PhoneLine extends Omit<OwingPhone, 'lost' | 'claims'> {
  readonly lost?: NonNullable<OwingPhone['lost']>;
  readonly claims: readonly { readonly id: string; readonly number?: string; readonly state: string }[];
}

export type PhoneFile = PhoneLine & Pick<PhoneStanding, 'missing' | 'photos' | 'refused'>;

/** Phones that owe something, silent longest first, or those that were lost with it. */
export function usePhones(state: 'owing' | 'lost'): UseQueryResult<readonly PhoneLine[]> {
  return useQuery({
    queryKey: ['phones', state],
    queryFn: async ({ signal }) =>
      (await read<{ readonly items: readonly PhoneLine[] }>(`/v1/phones?state=${state}`, signal)).body.items,
  });
}

/** What exactly the phones of a visit hold. */
export function useVisitPhones(visit: string): UseQueryResult<readonly PhoneFile[]> {
  return useQuery({
    queryKey: ['phone', visit],
    queryFn: async ({ signal }) =>
      (await read<{ readonly phones: readonly PhoneFile[] }>(`/v1/visits/${visit}/phones`, signal)).body.phones,
  });
}

/** How many phones owe something; looked at once a minute, because it stands at a door on every page. */
export function useOwingCount(): UseQueryResult<number> {
  return useQuery({
    queryKey: ['phones-owing'],
    queryFn: async ({ signal }) =>
      (await read<{ readonly count: number }>('/desk-data/phones-owing', signal)).body.count,
    refetchInterval: 60_000,
  });
}

/** What the phones of a case hold and do not agree on. */
export function useCasePhones(claim: string, visit: string): UseQueryResult<CasePhones> {
  return useQuery({
    // Told anew when a phone of the visit is heard, and read again with the case.
    queryKey: ['phone', visit, claim],
    queryFn: async ({ signal }) => (await read<CasePhones>(`/desk-data/cases/${claim}/phones`, signal)).body,
  });
}

/** Says that a phone is lost, as it was shown. */
export function useLosing(phone: Pick<PhoneLine, 'phone' | 'visit' | 'lastHeardAt'>, onDone: () => void) {
  const queries = useQueryClient();
  const keyOf = useIntent();
  const losing = useMutation({
    mutationFn: (reason: string) => {
      const body = { reason, heardAt: phone.lastHeardAt };
      return send(`/v1/visits/${phone.visit}/phones/${phone.phone}/loss`, { method: 'POST', body, key: keyOf(body) });
    },
    onSuccess: onDone,
    onSettled: () => {
      for (const queryKey of [['phones'], ['phones-owing'], ['phone', phone.visit], ['claims']])
        void queries.invalidateQueries({ queryKey });
    },
  });
  return {
    lose: (reason: string) => losing.mutate(reason),
    running: losing.isPending,
    trouble: losing.error instanceof Trouble ? losing.error : undefined,
  };
}

/** Says which answer counts, at the version of the claim that was seen. */
export function useSettling(claim: string, visit: string) {
  const queries = useQueryClient();
  const keyOf = useIntent();
  const settling = useMutation({
    mutationFn: ({ version, ...body }: { item: string; value: unknown; words: string; version: number }) =>
      send(`/v1/claims/${claim}/settled-answers`, {
        method: 'POST',
        body,
        version: `"v${version}"`,
        key: keyOf([body, version]),
      }),
    onSettled: async () => {
      await queries.invalidateQueries({ queryKey: ['claim', claim] });
      void queries.invalidateQueries({ queryKey: ['phone', visit] });
      void queries.invalidateQueries({ queryKey: ['claims'] });
    },
  });
  return {
    settle: settling.mutate,
    running: settling.isPending,
    trouble: settling.error instanceof Trouble ? settling.error : undefined,
  };
}
