import { useMutation, useQuery, useQueryClient, type UseQueryResult } from '@tanstack/react-query';
import type { OwnView } from '../../domain/desk-data.js';
import { read, send, Trouble } from './http.js';

/** The views that the person keeps for themselves. */
export function useOwnViews(): UseQueryResult<readonly OwnView[]> {
  return useQuery({
    queryKey: ['own-views'],
    queryFn: async ({ signal }) => (await read<readonly OwnView[]>('/desk-data/views', signal)).body,
  });
}

/** Keeps a view under a name, in place of one of the same name, or forgets it. */
export function useKeeping() {
  const queries = useQueryClient();
  const onSettled = () => queries.invalidateQueries({ queryKey: ['own-views'] });
  const keeping = useMutation({
    mutationFn: async (view: Omit<OwnView, 'id'>) =>
      (await send<OwnView>('/desk-data/views', { method: 'POST', body: view })).body,
    onSettled,
  });
  const forgetting = useMutation({
    mutationFn: (id: string) => send(`/desk-data/views/${id}`, { method: 'DELETE' }),
    onSettled,
  });
  const error = keeping.error ?? forgetting.error;
  return { keeping, forgetting, trouble: error instanceof Trouble ? error : undefined };
}
