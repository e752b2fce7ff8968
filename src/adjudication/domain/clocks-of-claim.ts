import type { CompiledPolicy } from '../../policies/policies.contract.js';
import { claimClocks, type ClocksOutcome, type HolidayLookup } from './claim-clocks.js';
import type { JudgedClaim } from './judged-case.js';
import { effectiveReceipt } from './receipt-words.js';

/** What a claim's clocks are judged by, beside the claim. */
export interface ClockDocuments {
  readonly policy: CompiledPolicy;
  readonly isHoliday: HolidayLookup;
}

/**
 * Every clock of the policy that applies to the claim, judged at `claim.asOf` in the claim's zone.
 * @param safety whether the policy's safety table raises the case, or could not be decided
 */
export function clocksOfClaim(
  claim: JudgedClaim,
  { policy, isHoliday }: ClockDocuments,
  safety: boolean,
): ClocksOutcome {
  const { events, statusLetters, asOf, zone, ground, transport } = claim;
  return claimClocks(policy.document.clocks ?? [], {
    events,
    asOf,
    zone,
    ground,
    safety,
    isHoliday,
    receipt: effectiveReceipt(claim.delivery),
    length: (name, on) => policy.parameter(name, on),
    ...(statusLetters === undefined ? {} : { statusLetters }),
    ...(transport === undefined ? {} : { transport: transport.regime }),
  });
}
