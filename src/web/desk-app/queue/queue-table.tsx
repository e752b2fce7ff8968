import { Link } from '@tanstack/react-router';
import { memo, type ReactNode, type Ref } from 'react';
import { showClaimNumber } from '../../../kernel/claim-number.js';
import type { QueueLine } from '../../domain/desk-data.js';
import { showMoney } from '../../domain/money-words.js';
import { stateMark } from '../../domain/state-marks.js';
import { GROUND_WORDS, remediesInWords } from '../../domain/trade-words.js';
import { takerWords } from '../../domain/taker-words.js';
import { DueMark } from '../parts/due-mark.js';
import { Mark } from '../parts/mark.js';

interface TableProps {
  readonly lines: readonly QueueLine[];
  readonly now: string;
  readonly says: string;
  /** Place of the line that the keys are on. */
  readonly here: number;
  /** Ids of the claims that are picked. */
  readonly picked: ReadonlySet<string>;
  readonly onPick: (id: string) => void;
  /** Id of whoever looks. */
  readonly me: string | undefined;
  readonly ref: Ref<HTMLTableElement>;
}

export function QueueTable({ lines, now, says, here, picked, onPick, me, ref }: TableProps): ReactNode {
  return (
    <table className="queue cards" ref={ref}>
      <caption className="away">{says}</caption>
      <thead>
        <tr>
          <th scope="col">
            <span className="away">Picked</span>
          </th>
          {['Claim', 'Unit', 'About', 'State', 'Due'].map((name) => (
            <th key={name} scope="col">
              {name}
            </th>
          ))}
          <th scope="col" className="amount">
            To the customer
          </th>
        </tr>
      </thead>
      <tbody>
        {lines.map((line, index) => (
          <Row
            key={line.id}
            line={line}
            now={now}
            here={index === here}
            picked={picked.has(line.id)}
            onPick={onPick}
            me={me}
          />
        ))}
      </tbody>
    </table>
  );
}

/** One claim; drawn again only when it or its place under the keys changes. */
const Row = memo(function Row({
  line,
  now,
  here,
  picked,
  onPick,
  me,
}: {
  readonly line: QueueLine;
  readonly now: string;
  readonly here: boolean;
  readonly picked: boolean;
  readonly onPick: (id: string) => void;
  readonly me: string | undefined;
}): ReactNode {
  const number = line.number === null ? 'Draft' : showClaimNumber(line.number);
  return (
    <tr aria-current={here ? 'true' : undefined}>
      <td className="tickbox">
        <label>
          <input
            type="checkbox"
            aria-label={`Pick ${number}, ${line.serial}`}
            checked={picked}
            onChange={() => onPick(line.id)}
          />
        </label>
      </td>
      <th scope="row">
        <Link className="number" to="/claims/$id" params={{ id: line.id }} preload={false}>
          {number}
        </Link>
        <span className="sub">
          {line.retailer} · {line.orderReference}
        </span>
      </th>
      <td data-label="Unit">
        {line.model}
        <span className="sub nums">{line.serial}</span>
      </td>
      <td data-label="About">
        {GROUND_WORDS[line.ground]}
        {line.components.length === 0 ? null : <span className="sub">{line.components.join(', ')}</span>}
      </td>
      <td>
        <Mark {...stateMark(line.state, line.outcome, line.awaitingSecondPerson)} />
        {line.takenBy === null ? null : <span className="sub">{takerWords(line.takenBy, me)}</span>}
      </td>
      <td data-label="Due">
        <DueMark dueAt={line.dueAt} dueClock={line.dueClock} now={now} />
      </td>
      <td data-label="To the customer" className="amount">
        {given(line)}
      </td>
    </tr>
  );
});

function given(line: QueueLine): string {
  if (line.totalMinor === null) return '–';
  const things = line.remedies.filter((remedy) => remedy !== 'refund' && remedy !== 'allowance');
  if (line.totalMinor === 0 && things.length > 0) return remediesInWords(things);
  return showMoney(line.totalMinor, line.currency);
}
