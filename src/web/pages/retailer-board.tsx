import type { VNode } from 'preact';
import type { ClaimLine } from '../case-data.js';
import { standsAt } from '../../claims/claims.contract.js';
import { showClaimNumber } from '../../kernel/claim-number.js';
import { GROUNDS } from '../../kernel/vocabulary.js';
import { BOARD_VIEWS, boardAddress, daysOpen, type BoardChoice } from '../domain/board-views.js';
import { outcomeOf, stateMark } from '../domain/state-marks.js';
import { count, showDay } from '../domain/time-words.js';
import { GROUND_WORDS } from '../domain/trade-words.js';
import { Office, type Onlooker } from './layout.js';
import { Choose, Mark, TextLine } from './parts.js';

export interface BoardView {
  readonly onlooker: Onlooker;
  readonly choice: BoardChoice;
  readonly lines: readonly ClaimLine[];
  readonly now: string;
  /** Ids of the claims with an open question to this retailer, up to a page of them. */
  readonly asked: ReadonlySet<string>;
  /** There are more of them than that. */
  readonly askedMore: boolean;
  readonly next?: string | undefined;
  readonly laterPage: boolean;
}

/** The retailer's own claims: where each stands, what happens next by when, and for how long it has been open. */
export function RetailerBoard(props: BoardView): VNode {
  const { choice, lines, next } = props;
  const { view, find, ground } = choice;
  const sought = find !== '' || ground !== '';
  return (
    <Office title="Your claims" onlooker={props.onlooker} at="/claims">
      <div class="head">
        <h1>Your claims</h1>
        <form class="find" role="search" action="/claims">
          {view.id === 'all' ? null : <input type="hidden" name="view" value={view.id} />}
          <TextLine id="find" name="find" label="Claim number, serial or order" type="search" value={find} max={80} />
          <Choose
            id="ground"
            name="ground"
            label="About"
            none="Anything"
            value={ground}
            options={GROUNDS.map((each) => [each, GROUND_WORDS[each]] as const)}
          />
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
        {lines.length === 0 ? null : <Export {...choice} />}
      </div>
      {sought ? <Sought choice={choice} found={lines.length > 0} /> : null}
      {lines.length > 0 ? <Board {...props} /> : sought ? null : <p class="lead">{view.empty}</p>}
      <nav class="pages" aria-label="Pages">
        {props.laterPage ? <a href={boardAddress('/claims', choice)}>First page</a> : null}
        {next === undefined ? null : <a href={boardAddress('/claims', choice, { cursor: next })}>Next page</a>}
      </nav>
    </Office>
  );
}

/** What was looked for, and the way out of it. */
function Sought({ choice, found }: { readonly choice: BoardChoice; readonly found: boolean }): VNode {
  const { find, ground } = choice;
  const said = [
    find === '' ? '' : `“${find}”`,
    ground === '' ? '' : `about ${GROUND_WORDS[ground].toLowerCase()}`,
  ].filter((each) => each !== '');
  return (
    <p>
      {found
        ? `Found for ${said.join(', ')}. `
        : `Nothing is found for ${said.join(', ')}. Check the number or choose another view, or `}
      <a href="/claims">see all claims</a>
    </p>
  );
}

function Views({ choice, asked, askedMore }: BoardView): VNode {
  return (
    <nav class="views" aria-label="Which claims">
      {BOARD_VIEWS.map((each) => (
        <a
          href={boardAddress('/claims', { ...choice, view: each })}
          aria-current={each.id === choice.view.id ? 'page' : undefined}
        >
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

function Export(choice: BoardChoice): VNode {
  const all = choice.find === '' && choice.ground === '' && choice.view.id === 'all';
  return (
    <p class="quiet">
      Take {all ? 'all of them' : 'what is shown'} with you:{' '}
      <a href={boardAddress('/claims/export/file', choice, { format: 'csv' })} download>
        CSV for a spreadsheet
      </a>
      ,{' '}
      <a href={boardAddress('/claims/export/file', choice, { format: 'json' })} download>
        JSON for a program
      </a>
      , or <a href={boardAddress('/claims/export', choice)}>choose columns and dates</a>.
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
          <th scope="col">Open for</th>
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
  const standing = standsAt(line.state, outcomeOf(line.outcome), line.promisedAt, null);
  const days = daysOpen(line.state, line.openedAt, now);
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
      <td data-label="Open for" class="figures">
        {days === undefined ? <span class="quiet">ended</span> : days === 0 ? 'since today' : count(days, 'day')}
      </td>
    </tr>
  );
}
