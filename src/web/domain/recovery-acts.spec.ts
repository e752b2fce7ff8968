import { describe, expect, it } from 'vitest';
import { act, type RecoveryAct } from '../../recovery/domain/recovery-life.js';
import { RECOVERY_STATES, type RecoveryStanding } from '../../recovery/recovery.contract.js';
import { recoveryActs, type RecoveryActName } from './recovery-acts.js';

const WISHES: Readonly<Partial<Record<RecoveryActName, RecoveryAct>>> = {
  sending: { kind: 'send' },
  acknowledgment: { kind: 'acknowledge' },
  offers: { kind: 'offer', amountMinor: 100 },
  payments: { kind: 'pay', amountMinor: 100 },
  salvage: { kind: 'credit salvage', amountMinor: 100 },
  decline: { kind: 'decline' },
  'write-off': { kind: 'write off', amountMinor: 100 },
};

/** A demand of 50.00 of which 10.00 came and 5.00 were given up. */
const STANDING: Omit<RecoveryStanding, 'state'> = {
  demandedMinor: 5000,
  bookedMinor: 5000,
  offeredMinor: null,
  paidMinor: 1000,
  salvageMinor: 0,
  writtenOffMinor: 500,
};

describe('the acts on a recovery', () => {
  // The life of a recovery is the judge: what it would take is offered, what it would refuse is not.
  it.each(RECOVERY_STATES)('of one that is %s are those that its life has room for', (state) => {
    const taken = (Object.keys(WISHES) as RecoveryActName[]).filter((name) => {
      const wish = WISHES[name];
      return wish !== undefined && act('carrier', { ...STANDING, state }, wish).ok;
    });
    const offered = recoveryActs(state).filter((name) => name !== 'particulars');
    expect(offered.toSorted()).toEqual(taken.toSorted());
  });
});
