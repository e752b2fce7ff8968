import type { Fault } from '../../kernel/outcome.js';

/** Days on which a version is to hold. */
export interface WantedDays {
  /** Local date, YYYY-MM-DD. */
  readonly effectiveFrom: string;
  /** First day on which it no longer holds; absent: until a later version begins. */
  readonly effectiveTo?: string;
}

/** What is wrong with the days of a version. */
export function dayFaults({ effectiveFrom, effectiveTo }: WantedDays): Fault[] {
  if (effectiveTo === undefined || effectiveTo > effectiveFrom) return [];
  return [{ pointer: '#/effectiveTo', detail: `It must be later than ${effectiveFrom}, the day from which it holds.` }];
}
