import '../policies/policies.css';
import './rehearsals.css';
import { getRouteApi, Link } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { REHEARSAL_MARKS } from '../../domain/policy-marks.js';
import { count } from '../../domain/time-words.js';
import { useNames } from '../api/policies.js';
import { isOver, useRehearsal, useStopping, type Rehearsal } from '../api/rehearsals.js';
import { TroubleNote } from '../parts/fields.js';
import { Caution, Mark, Note, Time } from '../parts/parts.js';
import { Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { rehearseOf, reviewOf } from '../policies/addresses.js';
import { ChangedClaims } from './rehearsal-changes.js';
import { wishWords } from './rehearsal-list.js';
import { Result, ResultMore } from './rehearsal-result.js';

const route = getRouteApi('/rehearsals/$id');

/** One rehearsal: how far it is, and then what would have come out otherwise. */
export function RehearsalPage(): ReactNode {
  const { id } = route.useParams();
  const found = useRehearsal(id);
  useTitle(found.data === undefined ? 'Rehearsal' : `Rehearsal of ${found.data.code} ${found.data.version}`);
  if (found.data) return <Whole rehearsal={found.data} />;
  return (
    <>
      <h1>Rehearsal</h1>
      {found.isError ? (
        <Failing trouble={found.error} again={() => void found.refetch()} />
      ) : (
        <Loading what="the rehearsal" />
      )}
    </>
  );
}

function Whole({ rehearsal }: { readonly rehearsal: Rehearsal }): ReactNode {
  const nameOf = useNames();
  const { code, version, wish, askedAt, askedBy, comparedWith, result } = rehearsal;
  return (
    <>
      <div className="head">
        <div>
          <p className="quiet noprint">
            <Link to="/policies">Policies</Link> ·{' '}
            <Link to="/policies/$id" params={{ id: code }}>
              {code}
            </Link>{' '}
            · <Link to={reviewOf(code, version)}>Review of version {version}</Link>
          </p>
          <h1>Rehearsal of version {version}</h1>
          <p>
            Over {wishWords(wish)}. Asked by {nameOf(askedBy)}, <Time at={askedAt} />.
          </p>
        </div>
        <Mark {...REHEARSAL_MARKS[rehearsal.state]} />
      </div>
      {isOver(rehearsal) ? null : <Progress rehearsal={rehearsal} />}
      {rehearsal.state === 'failed' ? (
        <Note tone="bad" title="It could not be finished.">
          <p>{rehearsal.problem} Mend the version and start another one.</p>
        </Note>
      ) : null}
      {rehearsal.state === 'cancelled' ? (
        <Note tone="plainly" title="It was stopped before its end.">
          <p>
            What it had found so far is not shown, because it is only a part.{' '}
            <Link to={rehearseOf(code, version)}>Start another one</Link>.
          </p>
        </Note>
      ) : null}
      {result === undefined ? null : (
        <>
          <Result result={result} />
          {result.changed > 0 ? <ChangedClaims rehearsal={rehearsal} kinds={result.kinds} /> : null}
          <ResultMore result={result} comparedWith={comparedWith} />
        </>
      )}
      <Caution />
    </>
  );
}

function Progress({ rehearsal: { id, claims, done } }: { readonly rehearsal: Rehearsal }): ReactNode {
  const stopping = useStopping(id);
  const says =
    claims === undefined ? 'The claims are being counted.' : `${done} of ${count(claims, 'claim')} gone through.`;
  return (
    <section className="sheet stack" id="progress">
      <h2>Under way</h2>
      <p role="status">{says}</p>
      <progress aria-label="Claims gone through" max={claims ?? 1} value={claims === undefined ? undefined : done} />
      <p className="quiet">You may leave this page; the rehearsal goes on, and is found again with the policy.</p>
      <TroubleNote trouble={stopping.trouble} />
      <button type="button" className="no" disabled={stopping.running} onClick={stopping.run}>
        {stopping.running ? 'Stopping…' : 'Stop it'}
      </button>
    </section>
  );
}
