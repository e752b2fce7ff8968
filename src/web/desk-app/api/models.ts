import { useMutation, useQuery, useQueryClient, type UseQueryResult } from '@tanstack/react-query';
import type { ModelComparison, ModelReport } from '../../../diagnosis/learning.contract.js';
import type { EvidenceModel } from '../../../diagnosis/diagnosis.contract.js';
import type { ModelData, ModelsData } from '../../domain/desk-models.js';
import { read, send, Trouble } from './http.js';
import { useIntent } from './intent.js';

/** Every evidence model with its versions. */
export function useModels(): UseQueryResult<ModelsData> {
  return useQuery({
    queryKey: ['evidence-models'],
    queryFn: async ({ signal }) => (await read<ModelsData>('/desk-data/models', signal)).body,
  });
}

/** One version with what its page needs. */
export function useModel(code: string, version: string): UseQueryResult<ModelData> {
  return useQuery({
    queryKey: ['evidence-models', code, version],
    queryFn: async ({ signal }) =>
      (await read<ModelData>(`/desk-data/models/${encodeURIComponent(code)}/${encodeURIComponent(version)}`, signal))
        .body,
  });
}

/** The document of a version. @param version undefined where none is wanted */
export function useModelDocument(code: string, version: number | undefined): UseQueryResult<EvidenceModel> {
  return useQuery({
    queryKey: ['evidence-models', code, 'document', version],
    enabled: version !== undefined,
    queryFn: async ({ signal }) =>
      (await read<{ readonly document: EvidenceModel }>(`${versionsOf(code)}/${version}`, signal)).body.document,
  });
}

/** Which decided claims a report is about, and what it is set against. Empty words ask for nothing. */
export interface ReportWish {
  readonly challenger: string;
  readonly policy: string;
  readonly from: string;
  readonly until: string;
}

/** How a version meets decided claims. @param on the day for the parameters of the policy */
export function useModelReport(
  code: string,
  version: number,
  wish: ReportWish,
  on: string,
): UseQueryResult<ModelReport | ModelComparison> {
  const asked = Object.entries({ ...wish, ...(wish.policy === '' ? {} : { on }) }).filter(([, value]) => value !== '');
  const query = new URLSearchParams(asked).toString();
  return useQuery({
    queryKey: ['evidence-models', code, version, 'report', query],
    queryFn: async ({ signal }) =>
      (await read<ModelReport | ModelComparison>(`${versionsOf(code)}/${version}/report?${query}`, signal)).body,
  });
}

/** A new draft: of a document, or learnt from decided claims. */
export function useNewDraft(code: string, onDone: (version: number) => void) {
  const queries = useQueryClient();
  const keyOf = useIntent();
  const sending = useMutation({
    mutationFn: async ({ address, body }: { readonly address: string; readonly body: object }) =>
      (await send<{ readonly version: number }>(address, { method: 'POST', body, key: keyOf([address, body]) })).body,
    onSuccess: async ({ version }) => {
      await queries.invalidateQueries({ queryKey: ['evidence-models'] });
      onDone(version);
    },
  });
  return {
    write: (document: object) => sending.mutate({ address: versionsOf(code), body: { document } }),
    learn: (body: object) =>
      sending.mutate({ address: `/v1/evidence-models/${encodeURIComponent(code)}/lessons-draft`, body }),
    running: sending.isPending,
    trouble: sending.error instanceof Trouble ? sending.error : undefined,
  };
}

/** Publishes a draft as it was read. @returns what takes its count of changes, and the day from which it is taken, empty for now */
export function usePublication(code: string, version: number) {
  const queries = useQueryClient();
  const keyOf = useIntent();
  const sending = useMutation({
    mutationFn: ({ edit, from }: { readonly edit: number; readonly from: string }) =>
      send(`${versionsOf(code)}/${version}/publication${from === '' ? '' : `?effectiveFrom=${from}`}`, {
        method: 'POST',
        body: {},
        version: `"v${edit}"`,
        key: keyOf([code, version, edit, from]),
      }),
    onSettled: () => queries.invalidateQueries({ queryKey: ['evidence-models'] }),
  });
  return {
    publish: (edit: number, from: string) => sending.mutate({ edit, from }),
    running: sending.isPending,
    trouble: sending.error instanceof Trouble ? sending.error : undefined,
  };
}

/** Saves a draft over the state that it was made from. @returns its new count of changes */
export function useSaving(code: string, version: number, onDone: (edit: number) => void) {
  const queries = useQueryClient();
  const sending = useMutation({
    mutationFn: async ({ document, edit }: { readonly document: object; readonly edit: number }) => {
      const sent = { method: 'PUT', body: { document }, version: `"v${edit}"` } as const;
      const answer = await send(`${versionsOf(code)}/${version}`, sent);
      return Number(/\d+/.exec(answer.version ?? '')?.[0] ?? edit + 1);
    },
    onSuccess: onDone,
    // Also after a refusal: it may be that somebody else has just saved.
    onSettled: () => queries.invalidateQueries({ queryKey: ['evidence-models'] }),
  });
  return {
    save: (document: object, edit: number) => sending.mutate({ document, edit }),
    running: sending.isPending,
    trouble: sending.error instanceof Trouble ? sending.error : undefined,
  };
}

function versionsOf(code: string): string {
  return `/v1/evidence-models/${encodeURIComponent(code)}/versions`;
}
