import { keepPreviousData, useMutation, useQuery, useQueryClient, type UseQueryResult } from '@tanstack/react-query';
import type {
  ExampleCoverage,
  PolicyAnalysis,
  PolicyDifference as Difference,
} from '../../../policies/analysis.contract.js';
import type { PolicyDocument } from '../../../policies/policies.contract.js';
import type { PolicyVersionState, VersionAct } from '../../domain/policy-marks.js';
import { read, send, Trouble } from './http.js';
import { useIntent } from './intent.js';
import type { Paged } from './recoveries.js';
import { useRehearsals, type Rehearsal } from './rehearsals.js';

/** Days on the calendar; `to` is the first that no longer belongs to them. */
export interface Days {
  readonly from: string;
  readonly to?: string;
}

/** A version as lists have it. */
export interface VersionLine {
  readonly code: string;
  readonly version: number;
  readonly title: string;
  readonly jurisdiction: string;
  readonly state: PolicyVersionState;
  readonly hash: string;
  readonly createdAt: string;
  readonly createdBy?: string;
  readonly approvedAt?: string;
  readonly approvedBy?: string;
  readonly publishedAt?: string;
  readonly effectiveFrom: string;
  readonly effectiveTo?: string;
  readonly periods: readonly Days[];
}

export interface VersionStep {
  readonly n: number;
  readonly kind: 'drafted' | 'edited' | 'proposed' | 'approved' | 'rejected' | 'published' | 'withdrawn';
  readonly at: string;
  readonly by: string;
  readonly hash: string;
  readonly words?: string;
  readonly more: Readonly<Record<string, unknown>>;
}

/** One version with its document and its steps. */
export interface VersionLife extends VersionLine {
  readonly document: PolicyDocument;
  readonly steps: readonly VersionStep[];
}

/** A version with the tag under which it was read, to be sent back as If-Match. */
export interface ReadVersion extends VersionLife {
  readonly tag: string;
}

export interface CalendarEntry extends Days {
  readonly version: number;
  readonly because: 'published' | 'cut' | 'restored';
  readonly recordedAt: string;
  readonly supersededAt?: string;
}

export interface PolicyVersions {
  readonly items: readonly VersionLine[];
  readonly calendar: readonly CalendarEntry[];
}

/** Which claims were looked at for the counts. */
interface LookedAt {
  readonly since: string;
  readonly lookedAt: number;
  readonly all: boolean;
}

export interface PolicyCheck {
  readonly sound: boolean;
  readonly hash?: string;
  readonly faults: readonly { readonly pointer: string; readonly detail: string }[];
  readonly examples: readonly {
    readonly id: string;
    readonly passed: boolean;
    readonly differences: readonly string[];
  }[];
  readonly analysis?: PolicyAnalysis & { readonly claims: LookedAt };
  readonly coverage?: ExampleCoverage;
}

export interface VersionDifference {
  readonly was?: { readonly version: number; readonly hash: string };
  readonly becomes: { readonly version: number; readonly hash: string };
  readonly same: boolean;
  readonly difference?: Difference & { readonly claims: LookedAt };
}

export interface VersionEvidence {
  readonly hash: string;
  readonly check: PolicyCheck;
  readonly difference: VersionDifference;
  readonly pastClaims: boolean;
  readonly rehearsal?: Rehearsal;
  readonly against: readonly string[];
}

/** What came of a file: a document that is not kept yet, and what the reader has to be told. */
export interface ReadIn {
  readonly document: PolicyDocument;
  readonly notices: readonly string[];
}

export const policyAddress = (code: string): string => `/v1/policies/${encodeURIComponent(code)}`;
export const versionAddress = (code: string, version: number): string => `${policyAddress(code)}/versions/${version}`;

function useRead<T>(key: readonly unknown[], address: string, enabled = true): UseQueryResult<T> {
  return useQuery({ queryKey: key, enabled, queryFn: async ({ signal }) => (await read<T>(address, signal)).body });
}

/** Names of the house by id. */
export function useNames(): (id: string | undefined) => string {
  const { data } = useRead<Readonly<Record<string, string>>>(['names'], '/desk-data/names');
  return (id) => (id === undefined ? 'the service' : (data?.[id] ?? 'somebody'));
}

/** Every version of every policy, in order of code and number. */
export function usePolicies(): UseQueryResult<readonly VersionLine[]> {
  return useQuery({
    queryKey: ['policy-versions', 'all'],
    queryFn: async ({ signal }) => {
      const all: VersionLine[] = [];
      for (let cursor: string | undefined = ''; cursor !== undefined;) {
        const query = new URLSearchParams({ limit: '200', ...(cursor === '' ? {} : { cursor }) });
        const page: Paged<VersionLine> = (await read<Paged<VersionLine>>(`/v1/policies?${query.toString()}`, signal))
          .body;
        all.push(...page.items);
        cursor = page.next;
      }
      return all;
    },
  });
}

/** The versions of one policy and its calendar. */
export function usePolicyVersions(code: string): UseQueryResult<PolicyVersions> {
  return useRead(['policy-versions', 'of', code], `${policyAddress(code)}/versions`);
}

/** One version with its document and steps. @param version undefined where there is none to read */
export function useLife(code: string, version: number | undefined): UseQueryResult<ReadVersion> {
  return useQuery({
    queryKey: ['policy-versions', 'life', code, version],
    enabled: version !== undefined,
    queryFn: async ({ signal }) => {
      const answer = await read<VersionLife>(versionAddress(code, version ?? 0), signal);
      return { ...answer.body, tag: answer.version ?? '' };
    },
  });
}

/** What an approver has to see of a version; worked out anew only where something that it says may have changed. */
export function useEvidence({ code, version, hash }: VersionLine): UseQueryResult<VersionEvidence> {
  const versions = usePolicyVersions(code);
  const rehearsals = useRehearsals(code);
  const held = versions.data?.items.find(({ state }) => state === 'in force')?.version;
  const rehearsed = rehearsals.data?.items.find(
    (one) => one.version === version && one.hash === hash && one.state === 'finished',
  )?.id;
  return useQuery({
    queryKey: ['evidence', code, version, hash, held, rehearsed],
    enabled: versions.data !== undefined && !rehearsals.isPending,
    placeholderData: keepPreviousData,
    queryFn: async ({ signal }) =>
      (await read<VersionEvidence>(`${versionAddress(code, version)}/evidence`, signal)).body,
  });
}

/** Where a version decides otherwise. @param against absent: the version in force */
export function useDifference(code: string, version: number, against?: number): UseQueryResult<VersionDifference> {
  const versions = usePolicyVersions(code);
  const hashes = (versions.data?.items ?? [])
    .filter((line) => line.version === version || line.version === against || line.state === 'in force')
    .map(({ hash }) => hash);
  const query = against === undefined ? '' : `?against=${against}`;
  return useQuery({
    queryKey: ['difference', code, version, against, hashes],
    enabled: !versions.isPending,
    queryFn: async ({ signal }) =>
      (await read<VersionDifference>(`${versionAddress(code, version)}/difference${query}`, signal)).body,
  });
}

interface StepWish {
  readonly act: VersionAct;
  readonly body: object;
  /** Days that the version is to hold on from now on; sent before the step where they changed. */
  readonly days?: { readonly effectiveFrom: string; readonly effectiveTo?: string };
}

/** Takes steps on one version at the tag that was seen. */
export function useStep(version: ReadVersion, ends: { readonly taken: () => void }) {
  const queries = useQueryClient();
  const keyOf = useIntent();
  const sending = useMutation({
    mutationFn: async ({ act, body, days }: StepWish) => {
      const address = versionAddress(version.code, version.version);
      let { tag } = version;
      if (days !== undefined) {
        const wish = { document: version.document, ...days };
        tag = (await send(address, { method: 'PUT', body: wish, version: tag })).version ?? tag;
      }
      return send(`${address}/${act}`, { method: 'POST', body, version: tag, key: keyOf([act, body, tag]) });
    },
    onSettled: async (_done, trouble) => {
      if (trouble === null) ends.taken();
      await queries.invalidateQueries({ queryKey: ['policy-versions'] });
    },
  });
  return {
    run: (wish: StepWish) => sending.mutate(wish),
    trouble: sending.error instanceof Trouble ? sending.error : undefined,
    running: sending.isPending,
  };
}

interface DraftWish {
  readonly code: string;
  readonly document: PolicyDocument;
  readonly effectiveFrom: string;
  readonly effectiveTo?: string;
}

/** Keeps a document as a new draft. */
export function useDrafting(onDone: (made: VersionLine) => void) {
  const queries = useQueryClient();
  const keyOf = useIntent();
  const sending = useMutation({
    mutationFn: async (wish: DraftWish) => {
      const { code, ...body } = wish;
      const address = `${policyAddress(code)}/versions`;
      return (await send<VersionLine>(address, { method: 'POST', body, key: keyOf(wish) })).body;
    },
    onSuccess: (made) => {
      void queries.invalidateQueries({ queryKey: ['policy-versions'] });
      onDone(made);
    },
  });
  return {
    run: (wish: DraftWish) => sending.mutate(wish),
    trouble: sending.error instanceof Trouble ? sending.error : undefined,
    running: sending.isPending,
  };
}
