import { Link } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { showClaimNumber } from '../../../kernel/claim-number.js';
import type { CaseData } from '../../case-data.js';
import { showMoney } from '../../domain/money-words.js';
import { stateMark } from '../../domain/state-marks.js';
import { GROUND_WORDS } from '../../domain/trade-words.js';
import { Mark, Time } from '../parts/parts.js';

/** Other claims on the same unit. */
export function Earlier({ view: { earlier, line, visit } }: { readonly view: CaseData }): ReactNode {
  return (
    <section className="sheet stack" id="earlier">
      <h2>Other claims on this unit</h2>
      {earlier.length === 0 ? (
        <p className="quiet">This is the only claim on {line.serial}.</p>
      ) : (
        <table className="cards">
          <caption className="away">Claims on {line.serial}, newest first</caption>
          <thead>
            <tr>
              <th scope="col">Claim</th>
              <th scope="col">About</th>
              <th scope="col">State</th>
              <th scope="col" className="amount">
                To the customer
              </th>
            </tr>
          </thead>
          <tbody>
            {earlier.map((other) => (
              <tr key={other.id}>
                <th scope="row">
                  <Link className="number" to="/claims/$id" params={{ id: other.id }} preload={false}>
                    {other.number === null ? 'Draft' : showClaimNumber(other.number)}
                  </Link>
                  <span className="sub">
                    <Time at={other.openedAt} zone={visit.zone} />
                  </span>
                </th>
                <td data-label="About">{GROUND_WORDS[other.ground]}</td>
                <td>
                  <Mark {...stateMark(other.state, other.outcome, other.awaitingSecondPerson)} />
                </td>
                <td data-label="To the customer" className="amount">
                  {other.totalMinor === null ? '–' : showMoney(other.totalMinor, other.currency)}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}
