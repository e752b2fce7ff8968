import { useMutation, useQueryClient } from '@tanstack/react-query';
import type { ClaimAct } from '../../domain/claim-acts.js';
import { send, Trouble } from '../api/http.js';

interface Wish {
  readonly act: ClaimAct;
  readonly version: number;
  readonly form: FormData;
}

/** What becomes of an act: it was taken, or somebody else was there first. */
export interface ActEnds {
  readonly taken: () => void;
  readonly overtaken: () => void;
}

/** Sends acts on one claim; what was typed stays on the page until the service has taken it. */
export function useAct(
  id: string,
  ends: ActEnds,
): {
  readonly run: (act: ClaimAct, version: number, form: FormData) => void;
  readonly trouble: Trouble | undefined;
  readonly running: boolean;
} {
  const queries = useQueryClient();
  const sending = useMutation({
    mutationFn: ({ act, version, form }: Wish) =>
      send(`/desk-data/cases/${id}/acts/${act}`, {
        method: 'POST',
        body: { ...fieldsOf(form), version: String(version) },
      }),
    // Also after a refusal the case is read anew: it may be that somebody else has just acted.
    onSettled: async (_done, trouble) => {
      await queries.invalidateQueries({ queryKey: ['claim', id] });
      void queries.invalidateQueries({ queryKey: ['claims'] });
      if (trouble === null) ends.taken();
      else if (trouble instanceof Trouble && trouble.code === 'version-changed') ends.overtaken();
    },
  });
  return {
    run: (act, version, form) => sending.mutate({ act, version, form }),
    trouble: sending.error instanceof Trouble ? sending.error : undefined,
    running: sending.isPending,
  };
}

/** Fields as the service reads them: a list where a field was given more than once or may be. */
function fieldsOf(form: FormData): Record<string, string | string[]> {
  const fields: Record<string, string | string[]> = {};
  for (const name of new Set(form.keys())) {
    const values = form.getAll(name).filter((value) => typeof value === 'string');
    fields[name] = values.length === 1 ? (values[0] ?? '') : values;
  }
  return fields;
}
