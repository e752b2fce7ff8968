import type { RehearsalState } from '../../policies/rehearsals.contract.js';
import type { RuleDifference } from './rule-differences.js';
import type { StateMark } from './state-marks.js';

/** Where a version of a policy stands, as the service names it. */
export type PolicyVersionState =
  'draft' | 'proposed' | 'approved' | 'scheduled' | 'in force' | 'superseded' | 'withdrawn';

/** A state of a version as word and shape. */
export const VERSION_MARKS: Readonly<Record<PolicyVersionState, StateMark>> = {
  draft: { says: 'Draft', shape: 'ring', tone: 'plainly' },
  proposed: { says: 'Waits for a second person', shape: 'half', tone: 'warn' },
  approved: { says: 'Approved, not on the calendar', shape: 'open square', tone: 'info' },
  scheduled: { says: 'Scheduled', shape: 'diamond', tone: 'info' },
  'in force': { says: 'In force', shape: 'tick', tone: 'ok' },
  superseded: { says: 'Superseded', shape: 'square', tone: 'plainly' },
  withdrawn: { says: 'Withdrawn', shape: 'cross', tone: 'plainly' },
};

/** A state of a rehearsal as word and shape. */
export const REHEARSAL_MARKS: Readonly<Record<RehearsalState, StateMark>> = {
  waiting: { says: 'Waiting', shape: 'ring', tone: 'plainly' },
  running: { says: 'Running', shape: 'half', tone: 'info' },
  finished: { says: 'Finished', shape: 'tick', tone: 'ok' },
  cancelled: { says: 'Stopped', shape: 'cross', tone: 'plainly' },
  failed: { says: 'Failed', shape: 'triangle', tone: 'bad' },
};

/** What became of a rule as word and shape. */
export const RULE_MARKS: Readonly<Record<RuleDifference['kind'], StateMark>> = {
  added: { says: 'New', shape: 'diamond', tone: 'ok' },
  removed: { says: 'Gone', shape: 'cross', tone: 'bad' },
  changed: { says: 'Changed', shape: 'half', tone: 'warn' },
  moved: { says: 'Moved', shape: 'open square', tone: 'info' },
};

/** How grave a finding of the analysis is. */
export const SEVERITY_MARKS: Readonly<Record<'error' | 'warning' | 'information', StateMark>> = {
  error: { says: 'Error', shape: 'octagon', tone: 'bad' },
  warning: { says: 'Warning', shape: 'triangle', tone: 'warn' },
  information: { says: 'Information', shape: 'ring', tone: 'plainly' },
};

/** An act on a version. */
export type VersionAct = 'proposal' | 'approval' | 'rejection' | 'publication' | 'withdrawal';

/** What may be done to a version in its state, the likeliest first. Who may do it is another matter. */
export function versionActs(state: PolicyVersionState): readonly VersionAct[] {
  switch (state) {
    case 'draft':
      return ['proposal'];
    case 'proposed':
      return ['approval', 'rejection'];
    case 'approved':
      return ['publication'];
    case 'scheduled':
    case 'in force':
      return ['withdrawal'];
    default:
      return [];
  }
}

/** "from 1 Mar 2026", "1 Mar 2026 to 31 May 2026": days of a version, the last one included. @param show a date in words */
export function daysInWords(from: string, to: string | undefined, show: (date: string) => string): string {
  if (to === undefined) return `from ${show(from)}`;
  return `${show(from)} to ${show(Temporal.PlainDate.from(to).subtract({ days: 1 }).toString())}`;
}
