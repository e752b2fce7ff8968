import { useMutation, useQuery, useQueryClient, type UseQueryResult } from '@tanstack/react-query';
import { read, send, Trouble } from './http.js';
import { useIntent } from './intent.js';

export const PAIR_OPINIONS = ['same thing', 'different thing'] as const;
export type PairOpinion = (typeof PAIR_OPINIONS)[number];

interface PhotoOfPair {
  readonly id: string;
  readonly item: string;
  readonly shows: string;
  readonly receivedAt: string;
  readonly withdrawn: boolean;
  /** Filed claims that rest on its inspection. */
  readonly claims: readonly { readonly id: string; readonly number: string }[];
  readonly picture: string;
}

/** Two photos of different visits that look alike; for a person to look at, no verdict. */
export interface PhotoPair {
  readonly id: string;
  readonly band: string;
  readonly foundBy: string;
  readonly distance?: number;
  readonly turn?: string;
  readonly matches?: number;
  readonly inliers?: number;
  readonly sameShot: boolean;
  readonly rate?: { readonly flagged: number; readonly of: number; readonly among: string };
  readonly later: PhotoOfPair;
  readonly earlier: PhotoOfPair;
  readonly opinions: readonly {
    readonly opinion: string;
    readonly words: string;
    readonly givenAt: string;
    readonly givenBy: { readonly name: string };
  }[];
}

/** Photos of other visits that look like those of an inspection. @param inspection id; null where the claim rests on none */
export function usePhotoPairs(inspection: string | null): UseQueryResult<readonly PhotoPair[]> {
  return useQuery({
    queryKey: ['photo-pairs', inspection],
    enabled: inspection !== null,
    queryFn: async ({ signal }) => {
      const address = `/v1/inspections/${inspection ?? ''}/photo-pairs`;
      return (await read<{ readonly items: readonly PhotoPair[] }>(address, signal)).body.items;
    },
  });
}

/** Says what a pair shows; what was said before stays. */
export function usePairOpinion(pair: string, onTaken: () => void) {
  const queries = useQueryClient();
  const keyOf = useIntent();
  const saying = useMutation({
    mutationFn: (body: { readonly opinion: string; readonly words: string }) =>
      send(`/v1/photo-pairs/${pair}/opinions`, { method: 'POST', body, key: keyOf(body) }),
    onSuccess: async () => {
      await queries.invalidateQueries({ queryKey: ['photo-pairs'] });
      onTaken();
    },
  });
  return {
    say: (opinion: string, words: string) => saying.mutate({ opinion, words }),
    saying: saying.isPending,
    trouble: saying.error instanceof Trouble ? saying.error : undefined,
  };
}
