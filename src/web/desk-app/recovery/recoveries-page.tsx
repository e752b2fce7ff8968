import { getRouteApi, Link, useNavigate } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { LIABLE_PARTIES, RECOVERY_STATES } from '../../../recovery/recovery.contract.js';
import { showMoney } from '../../domain/money-words.js';
import { recoveryMark } from '../../domain/recovery-acts.js';
import { showDate } from '../../domain/time-words.js';
import { PARTY_WORDS, sentenceCase } from '../../domain/trade-words.js';
import { useDue, useRecoveries, type DueLine, type Recovery } from '../api/recoveries.js';
import { Mark } from '../parts/parts.js';
import { Empty, Failing, Loading } from '../parts/states.js';
import { Pick } from '../parts/pick.js';
import { useTitle } from '../parts/title.js';

const route = getRouteApi('/recoveries');
/** Far enough ahead for every limit of a recovery. */
const TEN_YEARS = 3660;

/** Every recovery, by party, by state and by the time limit that runs out next. */
export function RecoveriesPage(): ReactNode {
  const { party = '', state = '', by = 'time' } = route.useSearch();
  const navigate = useNavigate();
  const found = useRecoveries(party, state);
  const due = useDue(TEN_YEARS, '');
  useTitle('Recoveries');
  const limits = limitsOf(due.data?.items ?? []);
  const limitOf = ({ claimId, party: of }: Recovery): DueLine | undefined => limits.get(`${claimId} ${of}`);
  const rows = [...(found.data?.items ?? [])];
  if (by === 'time') rows.sort((a, b) => (limitOf(a)?.endsAt ?? 'never').localeCompare(limitOf(b)?.endsAt ?? 'never'));
  const go = (search: { party?: string; state?: string; by?: string }) =>
    void navigate({ to: '/recoveries', search: { party, state, by, ...search }, replace: true });
  return (
    <>
      <div className="head">
        <h1>Recoveries</h1>
        <p className="row">
          <Link to="/recoveries/statements">Statements</Link>
          <Link to="/due">What is due</Link>
        </p>
      </div>
      <div className="row filters">
        <Pick
          id="party"
          label="From"
          value={party}
          onPick={(value) => go({ party: value })}
          options={[['', 'Everybody'], ...LIABLE_PARTIES.map((each) => [each, PARTY_WORDS[each]] as const)]}
        />
        <Pick
          id="state"
          label="State"
          value={state}
          onPick={(value) => go({ state: value })}
          options={[['', 'All'], ...RECOVERY_STATES.map((each) => [each, sentenceCase(each)] as const)]}
        />
        <Pick
          id="by"
          label="Order"
          value={by}
          onPick={(value) => go({ by: value })}
          options={[
            ['time', 'Time limit'],
            ['newest', 'Newest'],
          ]}
        />
      </div>
      {found.isPending ? <Loading what="the recoveries" /> : null}
      {found.isError ? <Failing trouble={found.error} again={() => void found.refetch()} /> : null}
      {found.data && rows.length === 0 ? (
        <Empty>
          {party === '' && state === ''
            ? 'Nothing is demanded of anybody. Recoveries are opened when a decision stands.'
            : 'No recovery is like that. Choose another party or state.'}
        </Empty>
      ) : null}
      {rows.length > 0 ? <Board rows={rows} limitOf={limitOf} /> : null}
      {found.data?.next === undefined ? null : (
        <p className="quiet">These are the newest 200. Choose a party or a state to see the others.</p>
      )}
    </>
  );
}

/** The next limit of each recovery: what the party owes, or what bars our demand on a carrier. */
function limitsOf(lines: readonly DueLine[]): ReadonlyMap<string, DueLine> {
  const limits = new Map<string, DueLine>();
  for (const line of lines) {
    const parties = line.clock.includes('carrier') ? [line.owedBy, 'carrier'] : [line.owedBy];
    for (const party of parties) {
      const key = `${line.claimId} ${party}`;
      if (!limits.has(key) && line.state === 'running') limits.set(key, line);
    }
  }
  return limits;
}

function Board(props: {
  readonly rows: readonly Recovery[];
  readonly limitOf: (recovery: Recovery) => DueLine | undefined;
}): ReactNode {
  return (
    <table className="cards">
      <caption className="away">Recoveries</caption>
      <thead>
        <tr>
          <th scope="col">Demand</th>
          <th scope="col">From</th>
          <th scope="col">State</th>
          <th scope="col">Time limit</th>
          <th scope="col" className="amount">
            Demanded
          </th>
          <th scope="col" className="amount">
            Still owed
          </th>
        </tr>
      </thead>
      <tbody>
        {props.rows.map((recovery) => {
          const limit = props.limitOf(recovery);
          return (
            <tr key={recovery.id}>
              <th scope="row">
                <Link className="number" to="/recoveries/$id" params={{ id: recovery.id }}>
                  {recovery.reference}
                </Link>
              </th>
              <td data-label="From">
                {PARTY_WORDS[recovery.party]}
                <span className="sub">{recovery.partyName}</span>
              </td>
              <td>
                <Mark {...recoveryMark(recovery.state)} />
              </td>
              <td data-label="Time limit">
                {limit?.lastDay === undefined ? '–' : showDate(limit.lastDay)}
                {limit === undefined ? null : <span className="sub">{limit.title}</span>}
              </td>
              <td data-label="Demanded" className="amount">
                {showMoney(recovery.demandedMinor, recovery.currency)}
              </td>
              <td data-label="Still owed" className="amount">
                {showMoney(recovery.outstandingMinor, recovery.currency)}
              </td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}
