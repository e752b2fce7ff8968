import { useQuery, type UseQueryResult } from '@tanstack/react-query';
import type { CaseData } from '../../case-data.js';
import { read } from './http.js';

/** Everything about a case. */
export function useCase(id: string): UseQueryResult<CaseData> {
  return useQuery({
    queryKey: ['claim', id],
    queryFn: async ({ signal }) => (await read<CaseData>(`/desk-data/cases/${id}`, signal)).body,
  });
}
