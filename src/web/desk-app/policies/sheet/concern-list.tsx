import { memo, type ReactNode } from 'react';
import type { MoreFindings } from '../../../../policies/analysis.contract.js';
import { periodWords } from '../../../../policies/wording.contract.js';
import type { PolicyDocument, PolicyExample } from '../../../../policies/policies.contract.js';
import { count } from '../../../domain/time-words.js';
import { Mark } from '../../parts/mark.js';
import { WrongText } from './cell-editor.js';
import type { EditPlace } from './draft-history.js';
import { byWeight, type Concern, type Weight } from './fault-places.js';
import { WEIGHT_MARKS } from './grid-row.js';
import { gridOf, partsOf } from './sheet-parts.js';

interface ListProps {
  readonly document: PolicyDocument;
  readonly concerns: readonly Concern[];
  readonly more: readonly MoreFindings[];
  /** Whether the analysis has still to look at what was typed last. */
  readonly behind: boolean;
  readonly onGo: (place: EditPlace) => void;
  /** Absent where nobody may write. */
  readonly onExample?: ((example: PolicyExample) => void) | undefined;
}

/** What the check says of the whole policy, the gravest first; each leads to its cell. */
export const ConcernList = memo(function ConcernList(props: ListProps): ReactNode {
  const { concerns, behind, more } = props;
  const grave = byWeight(concerns).filter(({ weight }) => weight !== 'information');
  const known = concerns.filter(({ weight }) => weight === 'information');
  return (
    <section className="sheet stack concerns" id="concerns" aria-labelledby="concerns-title">
      <h2 id="concerns-title">What the check says</h2>
      <p role="status">
        {summary(concerns)}
        {behind ? ' Looking at the last changes…' : ''}
      </p>
      {grave.length === 0 ? null : (
        <ul className="plain">
          {grave.map((concern, at) => (
            <Line key={`${at} ${concern.says}`} {...props} concern={concern} />
          ))}
        </ul>
      )}
      {known.length === 0 ? null : (
        <details>
          <summary>{count(known.length, 'thing')} worth knowing</summary>
          <ul className="plain">
            {known.map((concern, at) => (
              <Line key={`${at} ${concern.says}`} {...props} concern={concern} />
            ))}
          </ul>
        </details>
      )}
      {more.map(({ decision, kind, atLeast }) => (
        <p key={`${decision} ${kind}`} className="quiet">
          {decision}: at least {atLeast} more of the kind “{kind}”.
        </p>
      ))}
    </section>
  );
});

function summary(concerns: readonly Concern[]): string {
  const of = (weight: Weight): number => concerns.filter((concern) => concern.weight === weight).length;
  if (of('unread') > 0) {
    const cells = count(of('unread'), 'thing');
    return `${cells} cannot be read. Until that is put right the policy cannot run, be analysed or be saved; it is kept in this browser as you typed it.`;
  }
  const parts = [
    of('error') > 0 ? count(of('error'), 'mistake') : '',
    of('warning') > 0 ? count(of('warning'), 'thing to look at', 'things to look at') : '',
  ].filter((part) => part !== '');
  return parts.length === 0 ? 'No mistakes, and nothing that somebody should look at.' : `${parts.join(' and ')}.`;
}

function Line({ document, concern, onGo, onExample }: ListProps & { readonly concern: Concern }): ReactNode {
  const { weight, place, says, from, to, finding } = concern;
  const { ready, example, period, rules = [] } = finding ?? {};
  return (
    <li>
      <Mark {...WEIGHT_MARKS[weight]} />
      <div>
        <button type="button" className="linklike" onClick={() => onGo(place)}>
          {placeWords(document, place)}
        </button>{' '}
        {weight === 'unread' ? (
          <WrongText text={textAt(document, place)} wrong={{ says, from, to }} />
        ) : (
          <span>
            {says}
            {example === undefined ? '' : ` Example: ${example.words}.`}
            {period === undefined ? '' : ` ${periodWords(period)}.`}
          </span>
        )}
        {rules.length < 2 ? null : <span className="sub">Rules: {rules.join(', ')}</span>}
        {ready === undefined || onExample === undefined ? null : (
          <button type="button" className="linklike" onClick={() => onExample(ready)}>
            Keep this case as an example
          </button>
        )}
      </div>
    </li>
  );
}

function textAt(document: PolicyDocument, { part, row, column }: EditPlace): string {
  if (row === undefined || column === undefined) return '';
  return gridOf(document, part)?.rows[row]?.texts[column] ?? '';
}

/** Where a cell is, in the words of the sheet. */
function placeWords(document: PolicyDocument, { part, row, column }: EditPlace): string {
  const name = partsOf(document).find(([each]) => each === part)?.[1] ?? part;
  const grid = gridOf(document, part);
  const line = row === undefined ? undefined : grid?.rows[row]?.texts[0];
  const head = column === undefined ? undefined : grid?.columns[column]?.head;
  return [name, line, head].filter((word) => word !== undefined && word !== '').join(', ');
}
