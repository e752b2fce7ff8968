import { useMutation, useQuery, useQueryClient, type UseQueryResult } from '@tanstack/react-query';
import type {
  LiableParty,
  Particulars,
  RecoveryEventKind,
  RecoveryState,
} from '../../../recovery/recovery.contract.js';
import type { RecoveryActName } from '../../domain/recovery-acts.js';
import { read, send, Trouble } from './http.js';
import { useIntent } from './intent.js';

/** A demand on a party that answers. Amounts in minor units of its currency. */
export interface Recovery {
  readonly id: string;
  readonly claimId: string;
  readonly reference: string;
  readonly party: LiableParty;
  readonly partyName: string;
  readonly state: RecoveryState;
  readonly currency: string;
  readonly demandedMinor: number;
  readonly lines: readonly {
    readonly id: string;
    readonly says: string;
    readonly amountMinor: number;
    readonly working: string;
  }[];
  readonly cap: Readonly<Record<string, unknown>> | null;
  readonly cutMinor: number;
  readonly needs: readonly { readonly what: string; readonly ask: string; readonly why: string }[];
  readonly offeredMinor: number | null;
  readonly paidMinor: number;
  readonly salvageMinor: number;
  readonly writtenOffMinor: number;
  readonly outstandingMinor: number;
  readonly particulars: Particulars;
  readonly theirReference?: string;
  readonly sentAt?: string;
  readonly acknowledgedAt?: string;
  readonly version: number;
}

/** Something that a claim must contain, and what mends it where it is missing. */
export interface CompletenessElement {
  readonly id: string;
  readonly says: string;
  readonly state: 'met' | 'missing' | 'late';
  readonly source: string;
  readonly mends: string;
}

export interface RecoveryFile {
  readonly recovery: Recovery;
  readonly completeness: {
    readonly standing: string;
    readonly elements: readonly CompletenessElement[];
    readonly papers: readonly CompletenessElement[];
  };
  readonly clocks: readonly {
    readonly id: string;
    readonly title: string;
    readonly ground: string;
    readonly source: string;
    readonly owedBy: string;
    readonly state: 'not started' | 'running' | 'met' | 'missed';
    readonly lastDay: string | null;
  }[];
  readonly events: readonly {
    readonly n: number;
    readonly kind: RecoveryEventKind;
    readonly at: string;
    readonly by: string;
    readonly body: Readonly<Record<string, unknown>>;
  }[];
  readonly caution: string;
}

export interface ClaimRecoveries {
  readonly items: readonly Recovery[];
  readonly balances: readonly { readonly account: string; readonly currency: string; readonly amountMinor: number }[];
}

export interface Statement {
  readonly party: LiableParty;
  readonly asOf: string;
  readonly lines: readonly {
    readonly id: string;
    readonly reference: string;
    readonly partyName: string;
    readonly state: RecoveryState;
    readonly sentAt: string;
    readonly days: number;
    readonly currency: string;
    readonly demandedMinor: number;
    readonly paidMinor: number;
    readonly outstandingMinor: number;
  }[];
  readonly ageing: readonly {
    readonly currency: string;
    readonly bands: Readonly<Record<string, number>>;
    readonly totalMinor: number;
  }[];
}

/** A clock that runs or was missed, of any claim. */
export interface DueLine {
  readonly claimId: string;
  readonly number?: string;
  readonly clock: string;
  readonly occurrence: number;
  readonly title: string;
  readonly ground: string;
  readonly source: string;
  readonly owedBy: string;
  readonly lapse: string;
  readonly effect: string;
  readonly state: string;
  readonly lastDay?: string;
  readonly endsAt?: string;
  readonly daysLeft: number;
}

export interface Paged<T> {
  readonly items: readonly T[];
  readonly next?: string;
}

function useRead<T>(key: readonly unknown[], address: string): UseQueryResult<T> {
  return useQuery({ queryKey: key, queryFn: async ({ signal }) => (await read<T>(address, signal)).body });
}

export function useClaimRecoveries(claim: string): UseQueryResult<ClaimRecoveries> {
  return useRead(['claim', claim, 'recoveries'], `/v1/claims/${claim}/recoveries`);
}

export function useRecovery(id: string): UseQueryResult<RecoveryFile> {
  return useRead(['recovery', id], `/v1/recoveries/${id}`);
}

/** The newest recoveries. @param party @param state empty for all */
export function useRecoveries(party: string, state: string): UseQueryResult<Paged<Recovery>> {
  const query = new URLSearchParams({
    limit: '200',
    ...(party === '' ? {} : { party }),
    ...(state === '' ? {} : { state }),
  });
  return useRead(['recoveries', party, state], `/v1/recoveries?${query.toString()}`);
}

export function useStatement(party: LiableParty): UseQueryResult<Statement> {
  return useRead(['recoveries', 'statement', party], `/v1/recoveries/statements/${party}`);
}

/** What is due within days and what was missed. @param owedBy empty for everybody */
export function useDue(within: number, owedBy: string): UseQueryResult<Paged<DueLine>> {
  const query = new URLSearchParams({
    within: String(within),
    limit: '200',
    ...(owedBy === '' ? {} : { owedBy }),
  });
  return useRead(['claims', 'due', within, owedBy], `/v1/due?${query.toString()}`);
}

/** Sends acts on one recovery at the version that was seen. The same wish sent again is done once. */
export function useRecoveryAct(recovery: Recovery, onDone: () => void) {
  const queries = useQueryClient();
  const keyOf = useIntent();
  const sending = useMutation({
    mutationFn: ({ act, body }: { readonly act: RecoveryActName; readonly body: object }) =>
      send(`/v1/recoveries/${recovery.id}/${act}`, {
        method: 'POST',
        body,
        version: `"v${recovery.version}"`,
        key: keyOf([act, body, recovery.version]),
      }),
    onSettled: async (_done, trouble) => {
      await queries.invalidateQueries({ queryKey: ['recovery', recovery.id] });
      void queries.invalidateQueries({ queryKey: ['recoveries'] });
      void queries.invalidateQueries({ queryKey: ['claim', recovery.claimId] });
      if (trouble === null) onDone();
    },
  });
  return {
    run: (act: RecoveryActName, body: object) => sending.mutate({ act, body }),
    trouble: sending.error instanceof Trouble ? sending.error : undefined,
    running: sending.isPending,
  };
}
