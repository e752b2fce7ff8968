import { Link } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { REHEARSAL_MARKS } from '../../domain/policy-marks.js';
import { count, showDate, showDay } from '../../domain/time-words.js';
import type { Rehearsal, RehearsalWish } from '../api/rehearsals.js';
import { Mark, Time } from '../parts/parts.js';

interface ListProps {
  readonly items: readonly Rehearsal[];
  readonly nameOf: (id: string | undefined) => string;
}

/** Rehearsals of a policy, the newest first. */
export function RehearsalList({ items, nameOf }: ListProps): ReactNode {
  return (
    <table className="cards">
      <caption className="away">Rehearsals, the newest first</caption>
      <thead>
        <tr>
          <th scope="col">Asked</th>
          <th scope="col">Version</th>
          <th scope="col">Over</th>
          <th scope="col">State</th>
          <th scope="col">Claims</th>
        </tr>
      </thead>
      <tbody>
        {items.map((rehearsal) => (
          <tr key={rehearsal.id}>
            <th scope="row">
              <Link to="/rehearsals/$id" params={{ id: rehearsal.id }}>
                <Time at={rehearsal.askedAt} />
              </Link>
              <span className="sub">{nameOf(rehearsal.askedBy)}</span>
            </th>
            <td data-label="Version">{rehearsal.version}</td>
            <td data-label="Over">{wishWords(rehearsal.wish)}</td>
            <td>
              <Mark {...REHEARSAL_MARKS[rehearsal.state]} />
            </td>
            <td data-label="Claims">{claimsWords(rehearsal)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function claimsWords({ state, claims, done }: Rehearsal): string {
  if (claims === undefined) return '–';
  return state === 'running' ? `${done} of ${claims}` : String(claims);
}

/** Which claims, and beside what, in words. */
export function wishWords({ from, to, sample, against, on }: RehearsalWish): string {
  const when =
    from === undefined && to === undefined
      ? 'all past claims'
      : `claims judged${from === undefined ? '' : ` from ${showDay(from)}`}${to === undefined ? '' : ` before ${showDay(to)}`}`;
  return [
    sample === undefined ? when : `about ${count(sample, 'claim')} of ${when}`,
    against === undefined ? '' : `beside version ${against}`,
    on === undefined ? '' : `with the parameters of ${showDate(on)}`,
  ]
    .filter((part) => part !== '')
    .join(', ');
}
