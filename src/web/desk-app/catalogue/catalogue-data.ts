import { useInfiniteQuery, useMutation, useQuery, useQueryClient, type UseQueryResult } from '@tanstack/react-query';
import type { Model } from '../../../catalogue/catalogue.contract.js';
import type { Family } from '../../../kernel/vocabulary.js';
import { read, send, Trouble } from '../api/http.js';
import { useIntent } from '../api/intent.js';
import { readAll } from '../checklists/checklists-data.js';

/** What the list says of a model. */
export interface ModelLine {
  readonly sku: string;
  readonly title: string;
  readonly family: Family;
  readonly maker: string;
  readonly currency: string;
  readonly version: number;
  readonly updatedAt: string;
}

export interface ServedModel {
  readonly model: Model;
  /** To be sent back as If-Match. */
  readonly version: string;
}

/** A unit and the visit that brings it. */
export interface UnitLine {
  readonly id: string;
  readonly sku: string;
  readonly serial: string;
  readonly visitId: string;
  readonly orderReference: string;
  readonly retailer: string;
  readonly windowFrom: string;
  readonly deliveredAt?: string;
}

export function useModels(): UseQueryResult<readonly ModelLine[]> {
  return useQuery({
    queryKey: ['catalogue-models'],
    queryFn: ({ signal }) => readAll<ModelLine>('/v1/models', signal),
  });
}

export function useModel(sku: string): UseQueryResult<ServedModel> {
  return useQuery({
    queryKey: ['catalogue-model', sku],
    queryFn: async ({ signal }) => {
      const { body, version } = await read<Model>(address(sku), signal);
      return { model: body, version: version ?? '' };
    },
  });
}

function address(sku: string): string {
  return `/v1/models/${encodeURIComponent(sku)}`;
}

/** Units, the newest first, a page at a time. @param wish empty words narrow nothing */
export function useUnits(wish: { readonly sku: string; readonly find: string }) {
  return useInfiniteQuery({
    queryKey: ['units', wish.sku, wish.find],
    initialPageParam: '',
    queryFn: async ({ signal, pageParam }) => {
      const words = Object.entries({ ...wish, cursor: pageParam }).filter(([, word]) => word !== '');
      const query = new URLSearchParams([['limit', '50'], ...words]);
      return (await read<{ items: readonly UnitLine[]; next?: string }>(`/v1/units?${query.toString()}`, signal)).body;
    },
    getNextPageParam: (page) => page.next,
  });
}

/** Adds a model or replaces one. A wish to add that is sent again is done once. */
export function useModelActs() {
  const queries = useQueryClient();
  const keyOf = useIntent();
  const take = ({ body, version }: Awaited<ReturnType<typeof send<Model>>>): ServedModel => {
    const served = { model: body, version: version ?? '' };
    queries.setQueryData(['catalogue-model', body.sku], served);
    void queries.invalidateQueries({ queryKey: ['catalogue-models'] });
    return served;
  };
  const adding = useMutation({
    mutationFn: async ({ model }: { readonly model: Model }) =>
      take(await send<Model>('/v1/models', { method: 'POST', body: model, key: keyOf(model) })),
  });
  const replacing = useMutation({
    mutationFn: async ({ model, base }: { readonly model: Model; readonly base: string }) =>
      take(await send<Model>(address(model.sku), { method: 'PUT', body: model, version: base })),
    // After a refusal it is read anew: it may be that somebody else has just changed it.
    onError: (trouble, { model }) => {
      if (trouble instanceof Trouble && trouble.status === 412)
        void queries.invalidateQueries({ queryKey: ['catalogue-model', model.sku] });
    },
  });
  return { adding, replacing };
}
