import type { VNode } from 'preact';
import { standsAt } from '../../claims/claims.contract.js';
import { showClaimNumber } from '../../kernel/claim-number.js';
import { BOARD_VIEWS, boardAddress, type BoardFilter } from '../domain/board-views.js';
import { stateMark } from '../domain/state-marks.js';
import { showDay } from '../domain/time-words.js';
import { GROUND_WORDS } from '../domain/trade-words.js';
import type { ClaimLine } from '../case-data.js';
import { Office, type Onlooker } from './layout.js';
import { Mark, TextLine } from './parts.js';

export interface BoardView {
  readonly onlooker: Onlooker;
  readonly view: BoardFilter;
  readonly lines: readonly ClaimLine[];
  readonly find: string;
  readonly now: string;
  /** Ids of the claims with an open question to this retailer, up to a page of them. */
  readonly asked: ReadonlySet<string>;
  /** There are more of them than that. */
  readonly askedMore: boolean;
  readonly next?: string | undefined;
  readonly laterPage: boolean;
}

/** The retailer's own claims: where each stands, and what happens next by when. */
export function RetailerBoard(props: BoardView): VNode {
  const { view, lines, find, next } = props;
  return (
    <Office title="Your claims" onlooker={props.onlooker} at="/claims">
      <div class="head">
        <h1>Your claims</h1>
        <form class="find" role="search" action="/claims">
          {view.id === 'all' ? null : <input type="hidden" name="view" value={view.id} />}
          <TextLine id="find" name="find" label="Claim number, serial or order" type="search" value={find} max={80} />
          <button>Find</button>
        </form>
      </div>
      <Views {...props} />
      <div class="row spread">
        <p>
          <a class="button" href="/claims/new">
            Open a return
          </a>
        </p>
        {lines.length === 0 ? null : <Export view={view} find={find} />}
      </div>
      {find === '' ? null : (
        <p>
          {lines.length === 0 ? `Nothing is found for “${find}”. Check the number, or ` : `Found for “${find}”. `}
          <a href="/claims">see all claims</a>
        </p>
      )}
      {lines.length === 0 ? find === '' ? <p class="lead">{view.empty}</p> : null : <Board {...props} />}
      <nav class="pages" aria-label="Pages">
        {props.laterPage ? <a href={boardAddress('/claims', view, find)}>First page</a> : null}
        {next === undefined ? null : <a href={boardAddress('/claims', view, find, { cursor: next })}>Next page</a>}
      </nav>
    </Office>
  );
}

function Views({ view, find, asked, askedMore }: BoardView): VNode {
  return (
    <nav class="views" aria-label="Which claims">
      {BOARD_VIEWS.map((each) => (
        <a href={boardAddress('/claims', each, find)} aria-current={each.id === view.id ? 'page' : undefined}>
          {each.says}
          {each.asked === undefined ? null : (
            <span class="quiet figures">
              {asked.size}
              {askedMore ? '+' : ''}
            </span>
          )}
        </a>
      ))}
    </nav>
  );
}

function Export({ view, find }: Pick<BoardView, 'view' | 'find'>): VNode {
  return (
    <p class="quiet">
      Take {find === '' && view.id === 'all' ? 'all of them' : 'what is shown'} with you:{' '}
      <a href={boardAddress('/claims/export', view, find, { format: 'csv' })} download>
        CSV for a spreadsheet
      </a>
      ,{' '}
      <a href={boardAddress('/claims/export', view, find, { format: 'json' })} download>
        JSON for a program
      </a>
      .
    </p>
  );
}

function Board({ lines, now, asked }: BoardView): VNode {
  return (
    <table class="queue cards">
      <caption class="away">Claims, the latest change first</caption>
      <thead>
        <tr>
          <th scope="col">Claim</th>
          <th scope="col">Item</th>
          <th scope="col">State</th>
          <th scope="col">What happens next</th>
        </tr>
      </thead>
      <tbody>
        {lines.map((line) => (
          <Row line={line} now={now} asked={asked.has(line.id)} />
        ))}
      </tbody>
    </table>
  );
}

function Row(props: { readonly line: ClaimLine; readonly now: string; readonly asked: boolean }): VNode {
  const { line, now } = props;
  const standing = standsAt(line.state, outcomeOf(line.outcome), line.dueAt, null);
  return (
    <tr>
      <th scope="row">
        <a class="number" href={`/claims/${line.id}`}>
          {line.number === null ? 'Draft' : showClaimNumber(line.number)}
        </a>
        <span class="sub">Order {line.orderReference}</span>
      </th>
      <td data-label="Item">
        {line.model}
        <span class="sub">
          {GROUND_WORDS[line.ground]} · <span class="nums">{line.serial}</span>
        </span>
      </td>
      <td>
        <Mark {...stateMark(line.state, line.outcome)} />
      </td>
      <td>
        {props.asked ? (
          <a href={`/claims/${line.id}#answer`}>
            Answer our question <span class="away">about order {line.orderReference}</span>
          </a>
        ) : (
          standing.next
        )}
        {standing.by === null ? null : (
          <span class="sub">
            {standing.by < now ? 'was due' : 'by'} {showDay(standing.by)}
          </span>
        )}
      </td>
    </tr>
  );
}

/** The outcome of a line, where it is one. */
export function outcomeOf(outcome: string | null): 'approved' | 'approved in part' | 'declined' | null {
  return outcome === 'approved' || outcome === 'approved in part' || outcome === 'declined' ? outcome : null;
}
