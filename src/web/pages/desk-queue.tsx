import type { VNode } from 'preact';
import type { ClaimState } from '../../kernel/vocabulary.js';
import { showClaimNumber } from '../../kernel/claim-number.js';
import type { ClaimsService } from '../../claims/claims.service.js';
import { showMoney } from '../domain/money-words.js';
import { countOf, QUEUE_VIEWS, type QueueView } from '../domain/queue-views.js';
import { stateMark } from '../domain/state-marks.js';
import { dueIn } from '../domain/time-words.js';
import { GROUND_WORDS, remediesInWords, sentenceCase } from '../domain/trade-words.js';
import { Office, type Onlooker } from './layout.js';
import { Mark, TextLine } from './parts.js';

/** A line of a list of claims. */
export type ClaimLine = Awaited<ReturnType<ClaimsService['line']>>;

export interface QueuePageView {
  readonly onlooker: Onlooker;
  readonly view: QueueView;
  readonly find: string;
  readonly lines: readonly ClaimLine[];
  readonly counts: Readonly<Partial<Record<ClaimState, number>>>;
  readonly awaiting: number;
  readonly now: string;
  /** Cursor of the next page. */
  readonly next?: string | undefined;
  readonly laterPage: boolean;
}

/** The desk's queue: what is due first stands first. */
export function DeskQueue(props: QueuePageView): VNode {
  const { view, find, lines } = props;
  return (
    <Office title={`${view.says} · Queue`} onlooker={props.onlooker} at="/desk">
      <div class="head">
        <h1>Queue</h1>
        <form class="find" role="search" action="/desk">
          <input type="hidden" name="view" value="all" />
          <TextLine id="find" name="find" label="Claim number, serial or order" type="search" value={find} max={80} />
          <button>Find</button>
        </form>
      </div>
      <nav class="views" aria-label="Views of the queue">
        {QUEUE_VIEWS.map((each) => (
          <a href={`/desk?view=${each.id}`} aria-current={each.id === view.id && find === '' ? 'page' : undefined}>
            {each.says}
            <span class="quiet figures">{countOf(each, props.counts, props.awaiting)}</span>
          </a>
        ))}
      </nav>
      {find === '' ? null : (
        <p>
          {lines.length === 0 ? `Nothing is found for “${find}”.` : `Found for “${find}”:`}{' '}
          <a href="/desk">Back to the queue</a>
        </p>
      )}
      {lines.length === 0 ? (
        find === '' ? (
          <p class="lead">{props.laterPage ? 'There is nothing more on this page.' : view.empty}</p>
        ) : null
      ) : (
        <QueueTable lines={lines} now={props.now} says={view.says} />
      )}
      <nav class="pages" aria-label="Pages">
        {props.laterPage ? <a href={queueAddress(view.id, find)}>First page</a> : null}
        {props.next === undefined ? null : <a href={queueAddress(view.id, find, props.next)}>Next page</a>}
      </nav>
    </Office>
  );
}

function queueAddress(view: string, find: string, cursor?: string): string {
  const query = new URLSearchParams({
    view,
    ...(find === '' ? {} : { find }),
    ...(cursor === undefined ? {} : { cursor }),
  });
  return `/desk?${query.toString()}`;
}

function QueueTable(props: {
  readonly lines: readonly ClaimLine[];
  readonly now: string;
  readonly says: string;
}): VNode {
  return (
    <table class="queue cards">
      <caption class="away">{props.says}</caption>
      <thead>
        <tr>
          <th scope="col">Claim</th>
          <th scope="col">Unit</th>
          <th scope="col">About</th>
          <th scope="col">State</th>
          <th scope="col">Due</th>
          <th scope="col" class="amount">
            To the customer
          </th>
        </tr>
      </thead>
      <tbody>
        {props.lines.map((line) => (
          <tr>
            <th scope="row">
              <a class="number" href={`/desk/claims/${line.id}`}>
                {line.number === null ? 'Draft' : showClaimNumber(line.number)}
              </a>
              <span class="sub">
                {line.retailer} · {line.orderReference}
              </span>
            </th>
            <td data-label="Unit">
              {line.model}
              <span class="sub nums">{line.serial}</span>
            </td>
            <td data-label="About">{GROUND_WORDS[line.ground]}</td>
            <td>
              <Mark {...stateMark(line.state, line.outcome, line.awaitingSecondPerson)} />
            </td>
            <td data-label="Due">
              <DueMark line={line} now={props.now} />
            </td>
            <td data-label="To the customer" class="amount">
              {moneyCell(line)}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function moneyCell(line: ClaimLine): string {
  if (line.totalMinor === null) return '–';
  const remedies = line.remedies.filter((remedy) => remedy !== 'refund' && remedy !== 'allowance');
  if (line.totalMinor === 0 && remedies.length > 0) return remediesInWords(remedies);
  return showMoney(line.totalMinor, line.currency);
}

function DueMark({ line, now }: { readonly line: Pick<ClaimLine, 'dueAt' | 'dueClock'>; readonly now: string }): VNode {
  if (line.dueAt === null) return <span class="quiet">No clock runs</span>;
  const due = dueIn(line.dueAt, now);
  return (
    <>
      {due.late ? (
        <Mark shape="triangle" tone="bad" says={sentenceCase(due.says)} />
      ) : due.soon ? (
        <Mark shape="half" tone="warn" says={sentenceCase(due.says)} />
      ) : (
        sentenceCase(due.says)
      )}
      {line.dueClock === null ? null : <span class="sub">{sentenceCase(line.dueClock.replaceAll('-', ' '))}</span>}
    </>
  );
}
