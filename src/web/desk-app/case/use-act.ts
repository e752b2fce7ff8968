import { useMutation, useQueryClient } from '@tanstack/react-query';
import type { ClaimAct } from '../../domain/claim-acts.js';
import { send, Trouble } from '../api/http.js';

interface Wish {
  readonly act: ClaimAct;
  readonly version: number;
  readonly form: FormData;
}

/** Sends acts on one claim; what was typed stays on the page until the service has taken it. */
export function useAct(id: string): {
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
    // Also after a refusal: it may be that somebody else has just acted.
    onSettled: () => {
      void queries.invalidateQueries({ queryKey: ['claim', id] });
      void queries.invalidateQueries({ queryKey: ['claims'] });
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
