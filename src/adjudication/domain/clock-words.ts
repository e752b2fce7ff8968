import type { ClockRule } from '../../policies/policies.contract.js';
import type { Clock } from '../adjudication.contract.js';

interface LapseWords {
  readonly ahead: string;
  readonly missed: string;
}

/** What running out means. A strict bar ends the right; a shifted burden only changes who must prove what. */
const LAPSE: Readonly<Record<ClockRule['lapse'], LapseWords>> = {
  barred: {
    ahead: 'Strict bar: after the last day the right is lost, however good the claim.',
    missed: 'Barred: the last day has passed and the right is lost. Ask a licensed professional before giving it up.',
  },
  'burden shifts': {
    ahead:
      'No bar: after the last day the claim still stands, but the claimant must then prove what is presumed until then.',
    missed: 'Late, not barred: the claim still stands, but the burden of proof now lies on the claimant.',
  },
  breach: {
    ahead: 'After the last day whoever owes it is in breach; no right of the other side is lost.',
    missed: 'Breach: whoever owed it did not do it in time. No right of the other side is lost.',
  },
  internal: {
    ahead: 'A promise of this house; nobody outside can insist on it.',
    missed: 'A promise of this house was not kept; no right is lost.',
  },
};

/** What a clock's end means, in one sentence. */
export function effectOf(
  lapse: ClockRule['lapse'],
  state: Clock['state'],
  more: { readonly paused?: boolean; readonly byLetter?: boolean } = {},
): string {
  if (more.paused === true) return `The clock stands still. ${LAPSE[lapse].ahead}`;
  if (more.byLetter === true) return 'A status letter kept the delay in order; the next one is due in its turn.';
  if (state === 'met') return 'Met in time.';
  return state === 'missed' ? LAPSE[lapse].missed : LAPSE[lapse].ahead;
}
