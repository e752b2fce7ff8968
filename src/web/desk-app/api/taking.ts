import { useMutation, useQueryClient } from '@tanstack/react-query';
import { send, Trouble } from './http.js';

/** What is to be taken or put back. */
interface Wish {
  readonly putBack: boolean;
  readonly claims: readonly {
    readonly id: string;
    /** Id of whoever it is taken from on purpose. */
    readonly from?: string;
  }[];
}

interface Taken {
  readonly done: number;
  readonly putBack: boolean;
  /** The first refusal; the claims after it were tried all the same. */
  readonly trouble: Trouble | undefined;
}

/** Takes claims or puts them back, one after the other. */
export function useTaking() {
  const queries = useQueryClient();
  const sending = useMutation({
    mutationFn: async ({ claims, putBack }: Wish): Promise<Taken> => {
      let done = 0;
      let trouble: Trouble | undefined;
      for (const { id, from } of claims) {
        try {
          await (putBack
            ? send(`/v1/claims/${id}/taker`, { method: 'DELETE' })
            : send(`/v1/claims/${id}/taker`, { method: 'PUT', body: from === undefined ? {} : { from } }));
          done += 1;
        } catch (error) {
          if (!(error instanceof Trouble)) throw error;
          trouble ??= error;
          if (error.signedOut || error.status === 0) break;
        }
      }
      return { done, putBack, trouble };
    },
    // Also after a refusal: somebody else was there first, and the page is to show who.
    onSettled: async (_taken, _error, { claims }) => {
      for (const { id } of claims) void queries.invalidateQueries({ queryKey: ['claim', id] });
      await queries.invalidateQueries({ queryKey: ['claims'] });
    },
  });
  const { data } = sending;
  return {
    take: (claims: Wish['claims']) => sending.mutate({ claims, putBack: false }),
    putBack: (claims: Wish['claims']) => sending.mutate({ claims, putBack: true }),
    running: sending.isPending,
    trouble: sending.isPending ? undefined : data?.trouble,
    taken: sending.isPending ? undefined : data,
  };
}
