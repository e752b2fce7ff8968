import { useMutation, useQuery, useQueryClient, type UseQueryResult } from '@tanstack/react-query';
import { read, send, Trouble } from './http.js';

/** A mark as the interface tells it: a web annotation (W3C Web Annotation Data Model) with its corners. */
export interface PhotoMark {
  readonly id: string;
  readonly created: string;
  readonly creator: { readonly name: string };
  readonly body?: { readonly value: string };
  /** Corners in parts of the upright photo, each [x, y]. */
  readonly polygon: readonly (readonly [number, number])[];
  readonly withdrawnAt?: string;
  readonly withdrawnBy?: { readonly name: string };
}

/** The marks of a photo, those that were taken back among them. */
export function useMarks(photo: string): UseQueryResult<readonly PhotoMark[]> {
  return useQuery({
    queryKey: ['marks', photo],
    queryFn: async ({ signal }) =>
      (await read<{ readonly items: readonly PhotoMark[] }>(`/v1/photos/${photo}/marks`, signal)).body.items,
  });
}

/** What somebody marks: a media fragment and words. The key names the intention, so that sending it again marks once. */
export interface MarkWish {
  readonly photo: string;
  readonly fragment: string;
  readonly says: string;
  readonly key: string;
}

/** Makes marks and takes them back. */
export function useMarking() {
  const queries = useQueryClient();
  const again = (photo: string) => queries.invalidateQueries({ queryKey: ['marks', photo] });
  const making = useMutation({
    mutationFn: ({ photo, fragment, says, key }: MarkWish) =>
      send<PhotoMark>(`/v1/photos/${photo}/marks`, {
        method: 'POST',
        key,
        body: {
          selector: { type: 'FragmentSelector', conformsTo: 'http://www.w3.org/TR/media-frags/', value: fragment },
          ...(says === '' ? {} : { says }),
        },
      }),
    onSuccess: (_made, { photo }) => again(photo),
  });
  const takingBack = useMutation({
    mutationFn: ({ photo, mark }: { readonly photo: string; readonly mark: string }) =>
      send(`/v1/photos/${photo}/marks/${mark}/withdrawal`, { method: 'POST', key: mark, body: {} }),
    onSettled: (_taken, _trouble, { photo }) => again(photo),
  });
  return { making, takingBack };
}

/** Has a photo read once more that failed or waits for too long. */
export function useReadAgain(claim: string) {
  const queries = useQueryClient();
  const asking = useMutation({
    mutationFn: (photo: string) => send(`/v1/photos/${photo}/reading`, { method: 'POST', body: {} }),
    onSettled: () => queries.invalidateQueries({ queryKey: ['claim', claim] }),
  });
  return {
    ask: (photo: string) => asking.mutate(photo),
    asking: asking.isPending,
    trouble: asking.error instanceof Trouble ? asking.error : undefined,
  };
}
