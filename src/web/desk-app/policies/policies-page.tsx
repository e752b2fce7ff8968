import './policies.css';
import { Link } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { VERSION_MARKS } from '../../domain/policy-marks.js';
import { count, showDate } from '../../domain/time-words.js';
import { useNames, usePolicies, type VersionLine } from '../api/policies.js';
import { Caution, Mark, Time } from '../parts/parts.js';
import { Empty, Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { useOnlooker } from '../shell.js';
import { reviewOf, sheetOf } from './addresses.js';
import { BringIn } from './bring-in.js';

/** Every policy: what is in force, what is coming, what is being written, what waits for a second person. */
export function PoliciesPage(): ReactNode {
  const found = usePolicies();
  const { data: onlooker } = useOnlooker();
  useTitle('Policies');
  const versions = found.data ?? [];
  const policies = [...Map.groupBy(versions, ({ code }) => code)];
  const waiting = versions.filter(({ state }) => state === 'proposed' || state === 'approved');
  return (
    <>
      <div className="head">
        <div>
          <h1>Policies</h1>
          <p className="quiet">
            What decides who answers and what the customer gets. A published version never changes; a new one takes its
            place on a day.
          </p>
        </div>
      </div>
      {found.isPending ? <Loading what="the policies" /> : null}
      {found.isError ? <Failing trouble={found.error} again={() => void found.refetch()} /> : null}
      {found.data && policies.length === 0 ? (
        <Empty>
          There is no policy yet, and without one no claim can be assessed. A policy owner brings one in from a file
          below.
        </Empty>
      ) : null}
      {waiting.length > 0 ? <Waiting versions={waiting} me={onlooker?.id} /> : null}
      {policies.length > 0 ? <Board policies={policies} /> : null}
      {onlooker?.acts.includes('policy.edit') === true && found.data ? <BringIn versions={versions} /> : null}
      <Caution />
    </>
  );
}

function Waiting(props: { readonly versions: readonly VersionLine[]; readonly me: string | undefined }): ReactNode {
  const nameOf = useNames();
  return (
    <section className="sheet" id="waiting">
      <h2>Waiting for somebody</h2>
      <ul className="plain awaited">
        {props.versions.map(({ code, version, title, state, createdBy, effectiveFrom }) => (
          <li key={`${code} ${version}`}>
            <Mark {...VERSION_MARKS[state]} />
            <span>
              <Link to={reviewOf(code, version)}>
                {title}, version {version}
              </Link>
              <span className="sub">
                {createdBy === props.me ? 'You wrote it; somebody else approves it' : `Written by ${nameOf(createdBy)}`}
                , to hold from {showDate(effectiveFrom)}
              </span>
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Board({ policies }: { readonly policies: readonly (readonly [string, readonly VersionLine[]])[] }): ReactNode {
  return (
    <table className="cards policies">
      <caption className="away">Policies with their versions by state</caption>
      <thead>
        <tr>
          <th scope="col">Policy</th>
          <th scope="col">Place</th>
          <th scope="col">In force</th>
          <th scope="col">Scheduled</th>
          <th scope="col">Being written</th>
          <th scope="col">Earlier</th>
        </tr>
      </thead>
      <tbody>
        {policies.map(([code, versions]) => (
          <Line key={code} code={code} versions={versions} />
        ))}
      </tbody>
    </table>
  );
}

function Line({ code, versions }: { readonly code: string; readonly versions: readonly VersionLine[] }): ReactNode {
  const nameOf = useNames();
  const of = (...states: readonly VersionLine['state'][]) => versions.filter(({ state }) => states.includes(state));
  const [held] = of('in force');
  const newest = held ?? versions.at(-1);
  const written = of('draft', 'proposed', 'approved');
  const earlier = of('superseded', 'withdrawn').length;
  return (
    <tr>
      <th scope="row">
        <Link to="/policies/$id" params={{ id: code }}>
          {newest?.title}
        </Link>
        <span className="sub nums">{code}</span>
      </th>
      <td data-label="Place">{newest?.jurisdiction}</td>
      <td data-label="In force">
        {held === undefined ? (
          <Mark shape="triangle" tone="warn" says="None" />
        ) : (
          <>
            <Link to={sheetOf(code, held.version)}>Version {held.version}</Link>
            <span className="sub">since {showDate(held.periods[0]?.from ?? held.effectiveFrom)}</span>
          </>
        )}
      </td>
      <td data-label="Scheduled">
        {of('scheduled').map(({ version, effectiveFrom }) => (
          <span className="cell" key={version}>
            <Link to={sheetOf(code, version)}>Version {version}</Link>{' '}
            <span className="sub">from {showDate(effectiveFrom)}</span>
          </span>
        ))}
        {of('scheduled').length === 0 ? '–' : null}
      </td>
      <td data-label="Being written">
        {written.map(({ version, state, createdBy, createdAt }) => (
          <span className="cell" key={version}>
            <Link to={state === 'draft' ? sheetOf(code, version) : reviewOf(code, version)}>Version {version}</Link>{' '}
            <span className="sub">
              {VERSION_MARKS[state].says.toLowerCase()}, {nameOf(createdBy)}, <Time at={createdAt} />
            </span>
          </span>
        ))}
        {written.length === 0 ? '–' : null}
      </td>
      <td data-label="Earlier">{earlier === 0 ? '–' : count(earlier, 'version')}</td>
    </tr>
  );
}
