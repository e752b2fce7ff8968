import type { ReactNode } from 'react';
import type { Checklist } from '../../../inspections/inspections.contract.js';
import { checklistDifference, isSame } from './checklist-difference.js';

/** What differs between two states of a checklist, in words. */
export function DifferenceWords({
  before,
  after,
}: {
  readonly before: Checklist;
  readonly after: Checklist;
}): ReactNode {
  const difference = checklistDifference(before, after);
  if (isSame(difference)) return <p className="quiet">Nothing differs.</p>;
  const { added, removed, changed, moved, around, lost } = difference;
  return (
    <ul>
      {added.map(({ id, ask }) => (
        <li key={`+${id}`}>New: {ask.en}</li>
      ))}
      {removed.map(({ id, ask }) => (
        <li key={`-${id}`}>Gone: {ask.en}</li>
      ))}
      {changed.map(({ item, fields }) => (
        <li key={item.id}>
          Changed: {item.ask.en} <span className="quiet">({fields.join(', ')})</span>
        </li>
      ))}
      {moved ? <li>Checks come in another order.</li> : null}
      {around.length === 0 ? null : <li>Changed around the checks: {around.join(', ')}.</li>}
      {lost.length === 0 ? null : (
        <li>
          <strong>Never yielded any more: {lost.join(', ')}.</strong> An evidence model that rests on{' '}
          {lost.length === 1 ? 'it' : 'them'} can be published for this checklist only once it does without.
        </li>
      )}
    </ul>
  );
}
