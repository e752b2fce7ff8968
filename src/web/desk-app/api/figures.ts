import { keepPreviousData, useQuery, type UseQueryResult } from '@tanstack/react-query';
import type { Figures } from '../../../insight/insight.contract.js';
import { read } from './http.js';

/** What the figures are narrowed to; what is left out is the service's to choose, or all. */
export type FiguresSearch = Partial<Readonly<Record<'from' | 'until' | 'retailer' | 'maker', string>>>;

/** The figures of the house. While others are worked out the last ones stay. */
export function useFigures(search: FiguresSearch): UseQueryResult<Figures> {
  const query = new URLSearchParams(search).toString();
  return useQuery({
    queryKey: ['figures', query],
    queryFn: async ({ signal }) =>
      (await read<Figures>(query === '' ? '/v1/figures' : `/v1/figures?${query}`, signal)).body,
    staleTime: 60_000,
    placeholderData: keepPreviousData,
  });
}
