import { useInfiniteQuery, useMutation, useQuery, useQueryClient, type UseQueryResult } from '@tanstack/react-query';
import type { Model } from '../../../catalogue/catalogue.contract.js';
import type { VisitFacts, VisitStage } from '../../../inspections/inspections.contract.js';
import type { Receipt } from '../../../kernel/vocabulary.js';
import type { VisitPlan } from '../../domain/visit-form.js';
import { read, send, Trouble } from './http.js';
import { useIntent } from './intent.js';

/** A visit as the interface tells it. */
export interface Visit extends Pick<
  VisitFacts,
  'id' | 'order' | 'address' | 'jurisdiction' | 'zone' | 'windowFrom' | 'windowTo' | 'crewSize' | 'units' | 'version'
> {
  readonly retailer: { readonly code: string; readonly name: string };
  readonly carrier: { readonly code: string; readonly name: string };
  readonly receipt?: { readonly kind: Receipt; readonly words?: string; readonly deliveredAt: string };
  readonly stage?: VisitStage;
}

/** A link that lets a crew into one visit; its secret is not among this. */
export interface CrewLink {
  readonly id: string;
  readonly crewName: string;
  readonly createdAt: string;
  readonly expiresAt: string;
  readonly endedAt?: string;
}

/** A link as it is made: the address with its secret comes this once. */
export interface MadeLink {
  readonly id: string;
  readonly crewName: string;
  readonly url: string;
  readonly expiresAt: string;
}

export interface VisitInspection {
  readonly id: string;
  readonly unitId?: string;
  readonly startedAt: string;
  readonly finishedAt?: string;
}

interface List<T> {
  readonly items: readonly T[];
  readonly next?: string;
}

/** Pages of visits, the newest window first. @param stage empty for all */
export function useVisits(find: string, stage: string) {
  return useInfiniteQuery({
    queryKey: ['visits', find, stage],
    initialPageParam: '',
    queryFn: async ({ signal, pageParam }) => {
      const asked = { find, stage, cursor: pageParam };
      const query = new URLSearchParams({ limit: '100' });
      for (const [name, value] of Object.entries(asked)) if (value !== '') query.set(name, value);
      return (await read<List<Visit>>(`/v1/visits?${query.toString()}`, signal)).body;
    },
    getNextPageParam: (page) => page.next,
  });
}

function useRead<T>(key: readonly unknown[], address: string): UseQueryResult<T> {
  return useQuery({ queryKey: key, queryFn: async ({ signal }) => (await read<T>(address, signal)).body });
}

export function useVisit(id: string): UseQueryResult<Visit> {
  return useRead(['visit', id], `/v1/visits/${id}`);
}

export function useCrewLinks(id: string): UseQueryResult<List<CrewLink>> {
  return useRead(['visit', id, 'links'], `/v1/visits/${id}/links`);
}

export function useVisitInspections(id: string): UseQueryResult<List<VisitInspection>> {
  return useRead(['visit', id, 'inspections'], `/v1/visits/${id}/inspections`);
}

/** A model with its parts. */
export function useModel(sku: string): UseQueryResult<Model> {
  return useRead(['model', sku], `/v1/models/${encodeURIComponent(sku)}`);
}

type Company = { readonly code: string; readonly name: string };

/** What a visit is planned with: the companies of the house and its models. */
export function usePlanning(): UseQueryResult<{
  readonly retailers: readonly Company[];
  readonly carriers: readonly Company[];
  readonly models: readonly Pick<Model, 'sku' | 'title' | 'currency'>[];
}> {
  return useQuery({
    queryKey: ['planning'],
    queryFn: async ({ signal }) => {
      const [retailers, carriers, models] = await Promise.all([
        read<List<Company>>('/v1/retailers', signal),
        read<List<Company>>('/v1/carriers', signal),
        read<List<Pick<Model, 'sku' | 'title' | 'currency'>>>('/v1/models?limit=200', signal),
      ]);
      return { retailers: retailers.body.items, carriers: carriers.body.items, models: models.body.items };
    },
  });
}

/** Plans a visit; the same plan sent again is planned once. */
export function usePlanVisit(onPlanned: (id: string) => void) {
  const queries = useQueryClient();
  const keyOf = useIntent();
  const planning = useMutation({
    mutationFn: async (plan: VisitPlan) =>
      (await send<Visit>('/v1/visits', { method: 'POST', body: plan, key: keyOf(plan) })).body,
    onSuccess: ({ id }) => {
      void queries.invalidateQueries({ queryKey: ['visits'] });
      onPlanned(id);
    },
  });
  return {
    plan: (plan: VisitPlan) => planning.mutate(plan),
    planning: planning.isPending,
    trouble: planning.error instanceof Trouble ? planning.error : undefined,
  };
}

export interface LinkWish {
  readonly crewName: string;
  readonly hours: number;
  /** The link that the new one takes the place of. */
  readonly inPlaceOf?: string;
}

/** Makes links for the crew and ends them. */
export function useLinking(visit: string) {
  const queries = useQueryClient();
  const address = `/v1/visits/${visit}/links`;
  const onSettled = () => queries.invalidateQueries({ queryKey: ['visit', visit, 'links'] });
  const making = useMutation({
    mutationFn: async ({ crewName, hours, inPlaceOf }: LinkWish) => {
      const made = (await send<MadeLink>(address, { method: 'POST', body: { crewName, hours } })).body;
      // The old one is ended after the new one is there, so that the crew is never without.
      if (inPlaceOf !== undefined) await send(`${address}/${inPlaceOf}`, { method: 'DELETE' });
      return made;
    },
    onSettled,
  });
  const ending = useMutation({
    mutationFn: (link: string) => send(`${address}/${link}`, { method: 'DELETE' }),
    onSettled,
  });
  const error = making.error ?? ending.error;
  return { making, ending, trouble: error instanceof Trouble ? error : undefined };
}

/** Notes what the delivery receipt says, or corrects it. */
export function useReceipt(visit: Visit, onTaken: () => void) {
  const queries = useQueryClient();
  const noting = useMutation({
    mutationFn: (body: object) =>
      send(`/v1/visits/${visit.id}/receipt`, { method: 'PUT', body, version: `"v${visit.version}"` }),
    onSettled: (_done, trouble) => {
      void queries.invalidateQueries({ queryKey: ['visit', visit.id] });
      void queries.invalidateQueries({ queryKey: ['visits'] });
      if (trouble === null) onTaken();
    },
  });
  return {
    note: (body: object) => noting.mutate(body),
    noting: noting.isPending,
    trouble: noting.error instanceof Trouble ? noting.error : undefined,
  };
}
