import { Link } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { showMoney } from '../../domain/money-words.js';
import { recoveryMark } from '../../domain/recovery-acts.js';
import { PARTY_WORDS } from '../../domain/trade-words.js';
import { useClaimRecoveries } from '../api/recoveries.js';
import { Mark } from '../parts/parts.js';
import { Failing, Loading } from '../parts/states.js';

/** What is demanded of each party that answers for the claim, and how far it has come. */
export function ClaimRecoveriesPart({ claim }: { readonly claim: string }): ReactNode {
  const found = useClaimRecoveries(claim);
  return (
    <section className="sheet stack" id="recoveries">
      <h2>Recovery</h2>
      {found.isPending ? <Loading what="the recoveries" /> : null}
      {found.isError && found.data === undefined ? (
        <Failing trouble={found.error} again={() => void found.refetch()} />
      ) : null}
      {found.data?.items.length === 0 ? (
        <p className="quiet">Nothing is demanded of anybody. Recoveries are opened when a decision stands.</p>
      ) : null}
      {found.data && found.data.items.length > 0 ? (
        <table className="cards">
          <caption className="away">Recoveries of this claim</caption>
          <thead>
            <tr>
              <th scope="col">From</th>
              <th scope="col">State</th>
              <th scope="col" className="amount">
                Demanded
              </th>
              <th scope="col" className="amount">
                Still owed
              </th>
              <th scope="col">Papers</th>
            </tr>
          </thead>
          <tbody>
            {found.data.items.map((recovery) => (
              <tr key={recovery.id}>
                <th scope="row">
                  <Link to="/recoveries/$id" params={{ id: recovery.id }}>
                    {PARTY_WORDS[recovery.party]}
                  </Link>
                  <span className="sub">{recovery.partyName}</span>
                </th>
                <td>
                  <Mark {...recoveryMark(recovery.state)} />
                </td>
                <td data-label="Demanded" className="amount">
                  {showMoney(recovery.demandedMinor, recovery.currency)}
                </td>
                <td data-label="Still owed" className="amount">
                  {showMoney(recovery.outstandingMinor, recovery.currency)}
                </td>
                <td data-label="Papers">
                  <a href={`/v1/recoveries/${recovery.id}/packet.pdf`}>{recovery.reference}.pdf</a>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      ) : null}
    </section>
  );
}
