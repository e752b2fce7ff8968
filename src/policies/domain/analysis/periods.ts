import type { FindingPeriod } from '../../analysis.contract.js';
import type { PolicyDocument } from '../../policies.contract.js';
import { parameterEpochs } from '../atoms.js';

/**
 * Periods in which no parameter changes, in order. The time before the first date of any parameter is left out: there is nothing to
 * analyse where numbers have no value yet.
 */
export function periodsOf(document: PolicyDocument): FindingPeriod[] {
  return periodsFrom(parameterEpochs(document));
}

/** Periods in which no parameter of either document changes. */
export function periodsBetween(was: PolicyDocument, becomes: PolicyDocument): FindingPeriod[] {
  return periodsFrom([...new Set([...parameterEpochs(was), ...parameterEpochs(becomes)])].toSorted());
}

function periodsFrom(dates: readonly string[]): FindingPeriod[] {
  if (dates.length === 0) return [{}];
  return dates.map((from, place) => {
    const before = dates[place + 1];
    return before === undefined ? { from } : { from, before };
  });
}

/** A period in words: `since 2026-07-01`, `from 2024-01-01 until before 2026-07-01`. */
export function periodWords({ from, before }: FindingPeriod): string {
  if (from !== undefined && before !== undefined) return `from ${from} until before ${before}`;
  if (from !== undefined) return `since ${from}`;
  return before === undefined ? 'at all times' : `until before ${before}`;
}

/** Whether a day lies in a period. */
export function isInPeriod(on: string, { from, before }: FindingPeriod): boolean {
  return (from === undefined || on >= from) && (before === undefined || on < before);
}
