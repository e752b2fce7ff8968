import { daysBetween, localDate } from '../../kernel/days.js';
import type { ClaimFile, Clock, RecoveryDemand } from '../../adjudication/adjudication.contract.js';
import type { LiableParty, Particulars } from '../recovery.contract.js';
import type { DemandToCheck } from './completeness.js';

/** What of a demand decides whether it is a complete claim, read from the claim file and from what a person added. */
export function demandCheck(
  claim: ClaimFile,
  demand: Pick<RecoveryDemand, 'party' | 'totalMinor'>,
  particulars: Particulars,
  /** The clock of the policy that the carrier's receipt of the claim stops, where there is one. */
  filing: Clock | undefined,
): DemandToCheck {
  const { delivered, 'notice to carrier': told } = claim.events;
  const transport = particulars.transport ?? claim.transport;
  const estimate = particulars.amountIsEstimate === true;
  const carrier = demand.party === 'carrier';
  return {
    party: demand.party as LiableParty,
    regime: transport?.regime,
    inWriting: true,
    time: !carrier || filing === undefined ? 'no limit' : filing.state === 'missed' ? 'late' : 'in time',
    identifiesShipment: delivered !== undefined,
    assertsLiability: true,
    amount: demand.totalMinor <= 0 ? 'none' : estimate ? 'estimate' : 'specified',
    papers: (particulars.papers ?? []).map(({ paper }) => paper),
    neverArrived: particulars.neverArrived === true,
    notice:
      delivered === undefined || told === undefined
        ? null
        : {
            daysAfter: daysBetween(localDate(delivered, claim.zone), localDate(told, claim.zone)),
            by: particulars.noticeBy,
          },
  };
}

/** The name under which a party is addressed. */
export function partyNameOf(party: LiableParty, parties: ClaimFile['parties']): string {
  switch (party) {
    case 'carrier':
      return parties.carrier;
    case 'maker':
      return parties.maker;
    case 'seller':
      return parties.retailer;
    case 'crew':
      return 'Delivery crew';
  }
}
