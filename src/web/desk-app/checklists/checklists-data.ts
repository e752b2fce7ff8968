import { useMutation, useQuery, useQueryClient, type UseQueryResult } from '@tanstack/react-query';
import type { Model } from '../../../catalogue/catalogue.contract.js';
import type { Checklist } from '../../../inspections/inspections.contract.js';
import type { CrewUnit } from '../../shared/crew-pack.js';
import { read, send, Trouble } from '../api/http.js';
import { useIntent } from '../api/intent.js';
import type { Served } from '../parts/kept-draft.js';

/** What the list says of a version. */
export interface ChecklistLine {
  readonly code: string;
  readonly version: number;
  readonly title: string;
  readonly state: 'draft' | 'published';
  readonly hash: string;
  readonly createdAt: string;
  readonly createdBy?: string;
  readonly publishedAt?: string;
  readonly publishedBy?: string;
}

export interface ChecklistVersion extends Served<Checklist> {
  readonly line: ChecklistLine;
}

interface Paged<T> {
  readonly items: readonly T[];
  readonly next?: string;
}

/** Pages of a list are asked for one after the other; far more than anybody has. */
const MOST_PAGES = 20;

/** Every line of a list. @param address without a query */
export async function readAll<T>(address: string, signal: AbortSignal): Promise<readonly T[]> {
  const items: T[] = [];
  let cursor = '';
  for (let page = 0; page < MOST_PAGES; page += 1) {
    const query = new URLSearchParams({ limit: '200', ...(cursor === '' ? {} : { cursor }) });
    const { body } = await read<Paged<T>>(`${address}?${query.toString()}`, signal);
    items.push(...body.items);
    if (body.next === undefined) break;
    cursor = body.next;
  }
  return items;
}

export function useChecklists(): UseQueryResult<readonly ChecklistLine[]> {
  return useQuery({
    queryKey: ['checklists'],
    queryFn: ({ signal }) => readAll<ChecklistLine>('/v1/checklists', signal),
  });
}

/** The newest published version of a code; undefined where none is published. */
export function newestOf(lines: readonly ChecklistLine[], of: string): ChecklistLine | undefined {
  return lines.findLast(({ code, state }) => code === of && state === 'published');
}

/** One version with its document. @param enabled false: it is not asked for */
export function useChecklist(code: string, version: number, enabled = true): UseQueryResult<ChecklistVersion> {
  return useQuery({
    queryKey: ['checklist', code, version],
    enabled,
    queryFn: async ({ signal }) => servedOf(await read(versionAddress(code, version), signal)),
  });
}

function versionAddress(code: string, version: number): string {
  return `/v1/checklists/${encodeURIComponent(code)}/versions/${version}`;
}

interface VersionBody extends ChecklistLine {
  readonly document: Checklist;
}

function servedOf(answer: { readonly body: VersionBody; readonly version: string | undefined }): ChecklistVersion {
  const { document, ...line } = answer.body;
  return { line, document, version: answer.version ?? '' };
}

/** Names of the people of the house by id. */
export function useNames(): Readonly<Record<string, string>> {
  const found = useQuery({
    queryKey: ['names'],
    queryFn: async ({ signal }) => (await read<Readonly<Record<string, string>>>('/desk-data/names', signal)).body,
  });
  return found.data ?? {};
}

/** Writes, changes and publishes versions. The same wish sent again is done once. */
export function useChecklistActs() {
  const queries = useQueryClient();
  const keyOf = useIntent();
  const take = (answer: Awaited<ReturnType<typeof send<VersionBody>>>): ChecklistVersion => {
    const served = servedOf(answer);
    queries.setQueryData(['checklist', served.line.code, served.line.version], served);
    void queries.invalidateQueries({ queryKey: ['checklists'] });
    return served;
  };
  const drafting = useMutation({
    mutationFn: async ({ document }: { readonly document: Checklist }) =>
      take(
        await send<VersionBody>(`/v1/checklists/${encodeURIComponent(document.id)}/versions`, {
          method: 'POST',
          body: { document },
          key: keyOf(['draft', document]),
        }),
      ),
  });
  const saving = useMutation({
    mutationFn: async ({ document, base }: { readonly document: Checklist; readonly base: string }) =>
      take(
        await send<VersionBody>(versionAddress(document.id, document.version), {
          method: 'PUT',
          body: { document },
          version: base,
        }),
      ),
    // After a refusal it is read anew: it may be that somebody else has just changed it.
    onError: (trouble, { document }) => {
      if (trouble instanceof Trouble && (trouble.status === 412 || trouble.status === 409))
        void queries.invalidateQueries({ queryKey: ['checklist', document.id, document.version] });
    },
  });
  const publishing = useMutation({
    mutationFn: async ({
      code,
      version,
      base,
    }: {
      readonly code: string;
      readonly version: number;
      readonly base: string;
    }) =>
      take(
        await send<VersionBody>(`${versionAddress(code, version)}/publication`, {
          method: 'POST',
          version: base,
          key: keyOf(['publish', code, version, base]),
        }),
      ),
    onError: (_trouble, { code, version }) =>
      void queries.invalidateQueries({ queryKey: ['checklist', code, version] }),
  });
  return { drafting, saving, publishing };
}

/** The trouble in an error, if it is one that the service or the line told. */
export function troubleOf(error: unknown): Trouble | undefined {
  return error instanceof Trouble ? error : undefined;
}

/** A unit for the preview: made up, one piece of everything; a model of the same family lends its packing list and masses. */
export function useExampleUnit(family: Checklist['family']): CrewUnit {
  const found = useQuery({
    queryKey: ['catalogue-models', 'example', family],
    staleTime: Infinity,
    queryFn: async ({ signal }) => {
      const models = await readAll<{ readonly sku: string; readonly family: string }>('/v1/models', signal);
      const model = models.find((each) => each.family === family);
      if (model === undefined) return null;
      return (await read<Model>(`/v1/models/${encodeURIComponent(model.sku)}`, signal)).body;
    },
  });
  return found.data ? unitOf(found.data) : EXAMPLE;
}

const EXAMPLE: CrewUnit = {
  id: 'example',
  sku: 'EXAMPLE',
  title: 'Example unit',
  serial: 'EXAMPLE-0001',
  grossGrams: 62_000,
  netGrams: 54_000,
  packingList: (['frame', 'leg', 'motor', 'electronics'] as const).map((component) => ({
    part: `EX-${component.toUpperCase()}`,
    component,
    pieces: component === 'leg' ? 4 : 1,
  })),
  partTitles: { 'EX-FRAME': 'Frame', 'EX-LEG': 'Leg', 'EX-MOTOR': 'Motor', 'EX-ELECTRONICS': 'Control box' },
  evidenceModel: '',
};

function unitOf(model: Model): CrewUnit {
  return {
    ...EXAMPLE,
    sku: model.sku,
    title: model.title,
    grossGrams: model.grossGrams,
    netGrams: model.netGrams,
    packingList: model.parts.map(({ number, component, pieces }) => ({ part: number, component, pieces })),
    partTitles: Object.fromEntries(model.parts.map(({ number, title }) => [number, title])),
  };
}
