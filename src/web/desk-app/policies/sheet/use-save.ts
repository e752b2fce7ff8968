import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useNavigate } from '@tanstack/react-router';
import { useIntent } from '../../api/intent.js';
import { Trouble } from '../../api/http.js';
import type { Draft } from './draft-history.js';
import { beginVersion, saveVersion, type Version } from './sheet-data.js';
import { discard, saved, type SheetWork } from './sheet-store.js';

interface Saving {
  readonly run: () => void;
  readonly running: boolean;
  readonly trouble: Trouble | undefined;
}

/** Writes one's work over the version it is of. Whatever the answer is, what was typed stays until the service has it. */
export function useSave(key: string, version: Version, work: SheetWork): Saving {
  const queries = useQueryClient();
  const saving = useMutation({
    mutationFn: async ({ draft, tag }: { readonly draft: Draft; readonly tag: string }) => {
      const next = await saveVersion(version.code, version.version, tag, draft);
      return { next, draft };
    },
    onSuccess: ({ next, draft }) => {
      saved(key, next.tag, draft);
      queries.setQueryData(['policy-versions', version.code, version.version], next);
    },
    // Somebody was faster: what they wrote is fetched, and put under one's own.
    onError: (trouble) => {
      if (trouble instanceof Trouble && trouble.code === 'version-changed')
        void queries.invalidateQueries({ queryKey: ['policy-versions', version.code, version.version] });
    },
  });
  return {
    run: () => saving.mutate({ draft: work.history.now, tag: work.base.tag }),
    running: saving.isPending,
    trouble: saving.error instanceof Trouble ? saving.error : undefined,
  };
}

/** Begins a draft of one's own with what is in the sheet, and goes there. */
export function useBegin(key: string, version: Version, draft: Draft): Saving {
  const navigate = useNavigate();
  const queries = useQueryClient();
  const intent = useIntent();
  const beginning = useMutation({
    mutationFn: () => beginVersion(version.code, draft, intent([version.version, draft])),
    onSuccess: async (next) => {
      discard(key);
      void queries.invalidateQueries({ queryKey: ['policy-versions'] });
      await navigate({
        to: '/policies/$id/$version',
        params: { id: version.code, version: String(next.version) },
        search: true,
      });
    },
  });
  return {
    run: () => beginning.mutate(),
    running: beginning.isPending,
    trouble: beginning.error instanceof Trouble ? beginning.error : undefined,
  };
}
