import type { RecoveryState } from '../../recovery/recovery.contract.js';
import type { StateMark } from './state-marks.js';

/** What a person may do to a recovery, by the noun under its address. */
export const RECOVERY_ACTS = [
  'sending',
  'acknowledgment',
  'offers',
  'payments',
  'salvage',
  'decline',
  'write-off',
  'particulars',
] as const;
export type RecoveryActName = (typeof RECOVERY_ACTS)[number];

const OWED: readonly RecoveryActName[] = ['offers', 'payments', 'salvage'];

const OPEN_ACTS: Readonly<Record<RecoveryState, readonly RecoveryActName[]>> = {
  open: ['sending', 'particulars'],
  sent: ['acknowledgment', ...OWED, 'decline', 'write-off', 'particulars'],
  acknowledged: [...OWED, 'decline', 'write-off', 'particulars'],
  offered: ['payments', 'offers', 'acknowledgment', 'salvage', 'decline', 'write-off', 'particulars'],
  'paid in part': ['payments', 'offers', 'acknowledgment', 'salvage', 'decline', 'write-off', 'particulars'],
  paid: [],
  declined: ['write-off', 'offers', 'payments', 'salvage', 'acknowledgment', 'particulars'],
  'written off': ['payments'],
  withdrawn: [],
};

/** The acts that a recovery's state has room for, the likeliest first. Its own rules judge each again when it is sent. */
export function recoveryActs(state: RecoveryState): readonly RecoveryActName[] {
  return OPEN_ACTS[state];
}

const MARKS: Readonly<Record<RecoveryState, StateMark>> = {
  open: { says: 'Open', shape: 'ring', tone: 'info' },
  sent: { says: 'Sent', shape: 'half', tone: 'info' },
  acknowledged: { says: 'Acknowledged', shape: 'half', tone: 'info' },
  offered: { says: 'Offered', shape: 'open square', tone: 'warn' },
  'paid in part': { says: 'Paid in part', shape: 'half', tone: 'warn' },
  paid: { says: 'Paid', shape: 'tick', tone: 'ok' },
  declined: { says: 'Declined', shape: 'cross', tone: 'bad' },
  'written off': { says: 'Written off', shape: 'square', tone: 'plainly' },
  withdrawn: { says: 'Withdrawn', shape: 'cross', tone: 'plainly' },
};

/** The mark of a recovery's state. */
export function recoveryMark(state: RecoveryState): StateMark {
  return MARKS[state];
}
