import { getRouteApi, Link } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { showMoney } from '../../domain/money-words.js';
import { recoveryMark } from '../../domain/recovery-acts.js';
import type { StateMark } from '../../domain/state-marks.js';
import { showDate } from '../../domain/time-words.js';
import { PARTY_WORDS, sentenceCase } from '../../domain/trade-words.js';
import { useRecovery, type CompletenessElement, type Recovery, type RecoveryFile } from '../api/recoveries.js';
import { Facts, Mark, Note, Time } from '../parts/parts.js';
import { Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { RecoveryActs } from './recovery-acts.js';

const route = getRouteApi('/recoveries/$id');

/** One recovery: what is demanded, whether it is a claim that counts, by when what happens, and what was done. */
export function RecoveryPage(): ReactNode {
  const { id } = route.useParams();
  const found = useRecovery(id);
  useTitle(found.data === undefined ? 'Recovery' : `${found.data.recovery.reference} · Recovery`);
  if (found.data) return <File file={found.data} />;
  return (
    <>
      <h1>Recovery</h1>
      {found.isError ? (
        <Failing trouble={found.error} again={() => void found.refetch()} />
      ) : (
        <Loading what="the recovery" />
      )}
    </>
  );
}

function File({ file }: { readonly file: RecoveryFile }): ReactNode {
  const { recovery } = file;
  return (
    <>
      <div className="head">
        <div>
          <p className="quiet noprint">
            <Link to="/recoveries">Recoveries</Link> ·{' '}
            <Link to="/claims/$id" params={{ id: recovery.claimId }}>
              The claim
            </Link>
          </p>
          <h1 className="figures left">{recovery.reference}</h1>
          <p>
            {PARTY_WORDS[recovery.party]} · {recovery.partyName}
          </p>
        </div>
        <div className="row">
          <Mark {...recoveryMark(recovery.state)} />
          <a className="button noprint" href={`/v1/recoveries/${recovery.id}/packet.pdf`}>
            Papers as PDF
          </a>
        </div>
      </div>
      <div className="case">
        <div className="says">
          <Money recovery={recovery} />
          <RecoveryActs recovery={recovery} />
        </div>
        <div>
          <Demand recovery={recovery} />
          <Complete file={file} />
          <Clocks file={file} />
          <History file={file} />
        </div>
      </div>
    </>
  );
}

function Money({ recovery }: { readonly recovery: Recovery }): ReactNode {
  const show = (amountMinor: number) => showMoney(amountMinor, recovery.currency);
  return (
    <section className="sheet stack">
      <h2>Money</h2>
      <p className="amount-big">{show(recovery.outstandingMinor)}</p>
      <p className="quiet">
        {recovery.sentAt === undefined ? 'owed; nothing is owed before it is sent' : 'still owed'}
      </p>
      <Facts
        of={[
          ['Demanded', show(recovery.demandedMinor)],
          ['Offered', recovery.offeredMinor === null ? null : show(recovery.offeredMinor)],
          ['Paid', show(recovery.paidMinor)],
          ['Salvage', recovery.salvageMinor === 0 ? null : show(recovery.salvageMinor)],
          ['Written off', recovery.writtenOffMinor === 0 ? null : show(recovery.writtenOffMinor)],
          ['Cut off by the limit', recovery.cutMinor === 0 ? null : show(recovery.cutMinor)],
          ['Their number', recovery.theirReference],
          ['Sent', recovery.sentAt === undefined ? null : <Time at={recovery.sentAt} />],
          ['Acknowledged', recovery.acknowledgedAt === undefined ? null : <Time at={recovery.acknowledgedAt} />],
        ]}
      />
    </section>
  );
}

function Demand({ recovery }: { readonly recovery: Recovery }): ReactNode {
  return (
    <section className="sheet stack">
      <h2>What is demanded</h2>
      <table className="cards">
        <caption className="away">Lines of the demand</caption>
        <thead>
          <tr>
            <th scope="col">Line</th>
            <th scope="col">Worked out</th>
            <th scope="col" className="amount">
              Amount
            </th>
          </tr>
        </thead>
        <tbody>
          {recovery.lines.map((line) => (
            <tr key={line.id}>
              <th scope="row">{sentenceCase(line.says)}</th>
              <td data-label="Worked out" className="quiet">
                {line.working}
              </td>
              <td className="amount">{showMoney(line.amountMinor, recovery.currency)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <Cap cap={recovery.cap} />
      {recovery.needs.length === 0 ? null : (
        <Note tone="info" title="Must be known before the limit is settled">
          <ul>
            {recovery.needs.map(({ what, ask, why }) => (
              <li key={what}>
                {ask} <span className="sub">{why}</span>
              </li>
            ))}
          </ul>
        </Note>
      )}
    </section>
  );
}

/** The limit of liability in the words that came with it. */
function Cap({ cap }: { readonly cap: Recovery['cap'] }): ReactNode {
  const words = ['basis', 'working', 'rule', 'source'].flatMap((name) => {
    const value = cap?.[name];
    return typeof value === 'string' ? [[sentenceCase(name), value] as const] : [];
  });
  if (words.length === 0) return null;
  return (
    <>
      <h3>Limit of liability</h3>
      <Facts of={words} />
    </>
  );
}

const ELEMENTS: Readonly<Record<CompletenessElement['state'], StateMark>> = {
  met: { says: 'There', shape: 'tick', tone: 'ok' },
  missing: { says: 'Missing', shape: 'ring', tone: 'warn' },
  late: { says: 'Late', shape: 'triangle', tone: 'bad' },
};

function Complete({ file: { completeness } }: { readonly file: RecoveryFile }): ReactNode {
  return (
    <section className="sheet stack">
      <h2>Is it a claim that counts?</h2>
      <p>
        As it stands it is <strong>{inWords(completeness.standing)}</strong>.
      </p>
      <table className="cards">
        <caption className="away">What a claim must contain, and papers</caption>
        <thead>
          <tr>
            <th scope="col">Element</th>
            <th scope="col">State</th>
            <th scope="col">What mends it</th>
          </tr>
        </thead>
        <tbody>
          {[...completeness.elements, ...completeness.papers].map((element) => (
            <tr key={element.id}>
              <th scope="row">
                {sentenceCase(element.says)}
                <span className="sub">{element.source}</span>
              </th>
              <td>
                <Mark {...ELEMENTS[element.state]} />
              </td>
              <td data-label="What mends it">{element.mends}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function inWords(standing: string): string {
  if (standing === 'not a claim') return standing;
  return standing === 'amount required' ? 'a claim whose amount must still be given' : `a ${standing}`;
}

const CLOCKS: Readonly<Record<RecoveryFile['clocks'][number]['state'], StateMark>> = {
  'not started': { says: 'Not started', shape: 'ring', tone: 'plainly' },
  running: { says: 'Running', shape: 'half', tone: 'info' },
  met: { says: 'Met', shape: 'tick', tone: 'ok' },
  missed: { says: 'Missed', shape: 'triangle', tone: 'bad' },
};

function Clocks({ file }: { readonly file: RecoveryFile }): ReactNode {
  if (file.clocks.length === 0) return null;
  return (
    <section className="sheet stack">
      <h2>Clocks</h2>
      <table className="cards">
        <caption className="away">Time limits of this recovery</caption>
        <thead>
          <tr>
            <th scope="col">Clock</th>
            <th scope="col">State</th>
            <th scope="col">Last day</th>
          </tr>
        </thead>
        <tbody>
          {file.clocks.map((clock) => (
            <tr key={clock.id}>
              <th scope="row">
                {clock.title}
                <span className="sub">
                  {clock.ground}. {clock.source}. Owed by the {clock.owedBy}.
                </span>
              </th>
              <td>
                <Mark {...CLOCKS[clock.state]} />
              </td>
              <td data-label="Last day">{clock.lastDay === null ? '–' : showDate(clock.lastDay)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p className="small quiet">{file.caution}</p>
    </section>
  );
}

function History({ file: { events, recovery } }: { readonly file: RecoveryFile }): ReactNode {
  return (
    <section className="sheet stack">
      <h2>History</h2>
      <ol className="plain trail">
        {events.map(({ n, kind, at, by, body }) => (
          <li key={n}>
            <Time at={at} />
            <strong>{sentenceCase(kind.replaceAll('-', ' '))}</strong> by {by}
            {typeof body['amountMinor'] === 'number' ? ` · ${showMoney(body['amountMinor'], recovery.currency)}` : ''}
            {['words', 'reason', 'reference', 'despite'].map((name) =>
              typeof body[name] === 'string' ? (
                <p key={name} className="quiet">
                  {body[name]}
                </p>
              ) : null,
            )}
          </li>
        ))}
      </ol>
    </section>
  );
}
