import { getRouteApi, Link, useNavigate } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { LIABLE_PARTIES } from '../../../recovery/recovery.contract.js';
import { showMoney } from '../../domain/money-words.js';
import { recoveryMark } from '../../domain/recovery-acts.js';
import { count } from '../../domain/time-words.js';
import { PARTY_WORDS } from '../../domain/trade-words.js';
import { useStatement, type Statement } from '../api/recoveries.js';
import { Mark, Time } from '../parts/parts.js';
import { Pick } from '../parts/pick.js';
import { Empty, Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';

const route = getRouteApi('/recoveries/statements');

/** What each kind of party owes us, by age and demand by demand. */
export function StatementsPage(): ReactNode {
  const { party: wanted } = route.useSearch();
  const party = LIABLE_PARTIES.find((each) => each === wanted) ?? 'carrier';
  const navigate = useNavigate();
  const found = useStatement(party);
  useTitle('Statements');
  return (
    <>
      <div className="head">
        <div>
          <p className="quiet noprint">
            <Link to="/recoveries">Recoveries</Link>
          </p>
          <h1>Statement</h1>
        </div>
        <a className="button noprint" href={`/v1/recoveries/statements/${party}.csv`}>
          As CSV
        </a>
      </div>
      <div className="row filters noprint">
        <Pick
          id="party"
          label="Owed by"
          value={party}
          onPick={(value) => void navigate({ to: '/recoveries/statements', search: { party: value }, replace: true })}
          options={LIABLE_PARTIES.map((each) => [each, PARTY_WORDS[each]] as const)}
        />
      </div>
      {found.isPending ? <Loading what="the statement" /> : null}
      {found.isError ? <Failing trouble={found.error} again={() => void found.refetch()} /> : null}
      {found.data && found.data.lines.length === 0 ? (
        <Empty>Nothing is owed. A demand stands here once it has been sent.</Empty>
      ) : null}
      {found.data && found.data.lines.length > 0 ? <Owed statement={found.data} /> : null}
    </>
  );
}

function Owed({ statement }: { readonly statement: Statement }): ReactNode {
  return (
    <>
      <p>
        {PARTY_WORDS[statement.party]}, as of <Time at={statement.asOf} />
      </p>
      <section className="sheet stack">
        <h2>By age</h2>
        <table className="cards">
          <caption className="away">Owed by days since the demand was sent</caption>
          <thead>
            <tr>
              <th scope="col">Currency</th>
              {Object.keys(statement.ageing[0]?.bands ?? {}).map((band) => (
                <th key={band} scope="col" className="amount">
                  {band} days
                </th>
              ))}
              <th scope="col" className="amount">
                In all
              </th>
            </tr>
          </thead>
          <tbody>
            {statement.ageing.map(({ currency, bands, totalMinor }) => (
              <tr key={currency}>
                <th scope="row">{currency}</th>
                {Object.entries(bands).map(([band, amountMinor]) => (
                  <td key={band} data-label={`${band} days`} className="amount">
                    {showMoney(amountMinor, currency)}
                  </td>
                ))}
                <td data-label="In all" className="amount">
                  {showMoney(totalMinor, currency)}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <section className="sheet stack">
        <h2>Demand by demand</h2>
        <table className="cards">
          <caption className="away">Demands that were sent</caption>
          <thead>
            <tr>
              <th scope="col">Demand</th>
              <th scope="col">State</th>
              <th scope="col">Sent</th>
              <th scope="col" className="amount">
                Demanded
              </th>
              <th scope="col" className="amount">
                Paid
              </th>
              <th scope="col" className="amount">
                Still owed
              </th>
            </tr>
          </thead>
          <tbody>
            {statement.lines.map((line) => (
              <tr key={line.id}>
                <th scope="row">
                  <Link to="/recoveries/$id" params={{ id: line.id }}>
                    {line.reference}
                  </Link>
                  <span className="sub">{line.partyName}</span>
                </th>
                <td>
                  <Mark {...recoveryMark(line.state)} />
                </td>
                <td data-label="Sent">
                  <Time at={line.sentAt} />
                  <span className="sub">{count(line.days, 'day')} ago</span>
                </td>
                <td data-label="Demanded" className="amount">
                  {showMoney(line.demandedMinor, line.currency)}
                </td>
                <td data-label="Paid" className="amount">
                  {showMoney(line.paidMinor, line.currency)}
                </td>
                <td data-label="Still owed" className="amount">
                  {showMoney(line.outstandingMinor, line.currency)}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </>
  );
}
