import { holdsOn, type Days } from './periods.js';

/** Where a version of a policy stands. */
export const VERSION_STATES = [
  'draft',
  'proposed',
  'approved',
  'scheduled',
  'in force',
  'superseded',
  'withdrawn',
] as const;
export type VersionState = (typeof VERSION_STATES)[number];

/** What the state of a version follows from. */
export interface VersionFacts {
  readonly stage: 'draft' | 'proposed' | 'approved';
  readonly published: boolean;
  readonly withdrawn: boolean;
  /** Its days on the calendar as it is written down now. */
  readonly live: readonly Days[];
}

/** The state of a version on a day. @param today YYYY-MM-DD where the policy governs */
export function versionState({ stage, published, withdrawn, live }: VersionFacts, today: string): VersionState {
  if (!published) return stage;
  if (withdrawn) return 'withdrawn';
  if (live.some((days) => holdsOn(days, today))) return 'in force';
  return live.some(({ from }) => from > today) ? 'scheduled' : 'superseded';
}
