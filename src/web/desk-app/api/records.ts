import { useMutation, useQuery, type UseQueryResult } from '@tanstack/react-query';
import type { Remedy } from '../../../kernel/vocabulary.js';
import type { Facts, OutcomeValue } from '../../../policies/policies.contract.js';
import type { WhyNot } from '../../../policies/trace.contract.js';
import { read, Trouble } from './http.js';

/** A judgement of a claim as lists have it. */
export interface RecordLine {
  readonly id: string;
  readonly claim: string;
  readonly n: number;
  readonly policy: { readonly code: string; readonly version: number; readonly hash: string };
  readonly governedOn: string;
  readonly semantics: number;
  readonly madeAt: string;
  readonly actor: string;
  readonly hash: string;
}

/** A judgement with the facts that were judged. */
export interface RecordShown extends RecordLine {
  readonly facts: {
    readonly base: Facts;
    readonly matters: readonly { readonly about: string; readonly facts: Facts }[];
  };
}

/** A rule as it decided: its cells beside the values that met them. */
export interface DecidedRule {
  readonly decision: string;
  readonly rule: string;
  readonly because?: string;
  readonly source?: string;
  readonly cells: readonly { readonly column: string; readonly cell: string; readonly value: OutcomeValue }[];
}

/** One question that was put to the policy, and the answer. */
export interface Question {
  readonly about?: string;
  readonly given: Facts;
  readonly asked: readonly string[];
  readonly outcomes: Readonly<Record<string, OutcomeValue>>;
  readonly rules: readonly DecidedRule[];
  readonly needs: readonly string[];
}

/** How an outcome came about. */
export interface Why {
  readonly parameters: readonly { readonly name: string; readonly from: string; readonly value: string }[];
  readonly questions: readonly Question[];
}

/** Why one matter did not get a remedy. */
export interface NotGiven {
  readonly about: string;
  readonly given: boolean;
  readonly says: string;
  readonly whyNot?: WhyNot;
}

export interface Replayed {
  readonly record: string;
  readonly claim: string;
  readonly differences: readonly string[];
}

export function useRecord(id: string): UseQueryResult<RecordShown> {
  return useQuery({
    queryKey: ['record', id],
    queryFn: async ({ signal }) => (await read<RecordShown>(`/v1/decision-records/${id}`, signal)).body,
  });
}

export function useWhy(id: string): UseQueryResult<Why> {
  return useQuery({
    queryKey: ['record', id, 'why'],
    queryFn: async ({ signal }) => (await read<Why>(`/v1/decision-records/${id}/why`, signal)).body,
  });
}

/** The judgements of a claim, oldest first. */
export function useRecordsOf(claim: string): UseQueryResult<readonly RecordLine[]> {
  return useQuery({
    queryKey: ['claim', claim, 'records'],
    queryFn: async ({ signal }) =>
      (await read<{ readonly items: readonly RecordLine[] }>(`/v1/claims/${claim}/decision-records`, signal)).body
        .items,
  });
}

/** Why a remedy was not given. @param remedy empty while none is chosen */
export function useWhyNot(id: string, remedy: Remedy | ''): UseQueryResult<readonly NotGiven[]> {
  return useQuery({
    queryKey: ['record', id, 'why-not', remedy],
    enabled: remedy !== '',
    queryFn: async ({ signal }) =>
      (
        await read<{ readonly items: readonly NotGiven[] }>(
          `/v1/decision-records/${id}/why-not?remedy=${remedy}`,
          signal,
        )
      ).body.items,
  });
}

/** Judges the kept facts again and compares. */
export function useReplay(id: string) {
  const asking = useMutation({
    mutationFn: async () => (await read<Replayed>(`/v1/decision-records/${id}/replay`)).body,
  });
  return {
    run: () => asking.mutate(),
    found: asking.data,
    running: asking.isPending,
    trouble: asking.error instanceof Trouble ? asking.error : undefined,
  };
}
