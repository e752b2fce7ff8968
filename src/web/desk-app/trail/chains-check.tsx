import { Link } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { showClaimNumber } from '../../../kernel/claim-number.js';
import { count } from '../../domain/time-words.js';
import { useChains, type Walked } from '../api/trail.js';
import { TroubleNote } from '../parts/fields.js';
import { Mark } from '../parts/parts.js';

/** Walks the history of every claim and its recoveries and says whether it is as it was written. */
export function ChainsCheck(): ReactNode {
  const { walked, walking, trouble, walk, stop } = useChains();
  return (
    <section className="sheet stack" id="chains">
      <h2>Is the history of the claims whole?</h2>
      <p className="quiet">
        Each entry carries a hash of itself and of the one before, so that a change made behind the service’s back
        shows.
      </p>
      <p className="row noprint">
        <button type="button" disabled={walking} onClick={walk}>
          {walking ? 'Checking…' : 'Check every history'}
        </button>
        {walking ? (
          <button type="button" onClick={stop}>
            Stop
          </button>
        ) : null}
      </p>
      <TroubleNote trouble={trouble} />
      <div role="status">{walked === undefined ? null : <Result walked={walked} walking={walking} />}</div>
    </section>
  );
}

function Result({ walked, walking }: { readonly walked: Walked; readonly walking: boolean }): ReactNode {
  const { claims, events, faults, done } = walked;
  const so = `${count(claims, 'claim')} with ${count(events, 'entry', 'entries')}`;
  return (
    <div className="stack">
      {faults.length > 0 ? (
        <Mark shape="triangle" tone="bad" says={`${count(faults.length, 'history', 'histories')} not as written`} />
      ) : done ? (
        <Mark shape="tick" tone="ok" says="Every history is whole" />
      ) : (
        <Mark shape="half" tone="info" says={walking ? 'Whole so far' : 'Whole as far as it was checked'} />
      )}
      <p>
        {so} {done ? 'checked: all of them.' : walking ? 'checked so far.' : 'checked; the others were not.'}
      </p>
      {faults.length === 0 ? null : (
        <>
          <ul>
            {faults.map(({ claim, number, n, detail }) => (
              <li key={`${claim} ${n}`}>
                <Link to="/claims/$id" params={{ id: claim }} preload={false}>
                  Claim {typeof number === 'string' ? showClaimNumber(number) : 'in draft'}
                </Link>
                : {detail}.
              </li>
            ))}
          </ul>
          <p>
            Do not decide on these claims. Keep a copy of the database as it is now, and find out who could write to it.
          </p>
        </>
      )}
    </div>
  );
}
