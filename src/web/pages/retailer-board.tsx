import type { VNode } from 'preact';
import { standsAt } from '../../claims/claims.contract.js';
import { showClaimNumber } from '../../kernel/claim-number.js';
import { stateMark } from '../domain/state-marks.js';
import { showDay } from '../domain/time-words.js';
import { GROUND_WORDS } from '../domain/trade-words.js';
import type { ClaimLine } from './desk-queue.js';
import { Office, type Onlooker } from './layout.js';
import { Mark, TextLine } from './parts.js';

export interface BoardView {
  readonly onlooker: Onlooker;
  readonly lines: readonly ClaimLine[];
  readonly find: string;
  readonly now: string;
  readonly next?: string | undefined;
  readonly laterPage: boolean;
}

/** The retailer's own claims: where each stands, and what happens next by when. */
export function RetailerBoard({ onlooker, lines, find, now, next, laterPage }: BoardView): VNode {
  return (
    <Office title="Your claims" onlooker={onlooker} at="/claims">
      <div class="head">
        <h1>Your claims</h1>
        <form class="find" role="search" action="/claims">
          <TextLine id="find" name="find" label="Claim number, serial or order" type="search" value={find} max={80} />
          <button>Find</button>
        </form>
      </div>
      <p>
        <a class="button" href="/claims/new">
          Open a return
        </a>
      </p>
      {find === '' ? null : (
        <p>
          {lines.length === 0 ? `Nothing is found for “${find}”. Check the number, or ` : `Found for “${find}”. `}
          <a href="/claims">see all claims</a>
        </p>
      )}
      {lines.length === 0 ? (
        find === '' ? (
          <p class="lead">There is no claim on your deliveries. When a crew files one, it appears here.</p>
        ) : null
      ) : (
        <Board lines={lines} now={now} />
      )}
      <nav class="pages" aria-label="Pages">
        {laterPage ? <a href="/claims">First page</a> : null}
        {next === undefined ? null : (
          <a href={`/claims?${new URLSearchParams({ cursor: next, ...(find === '' ? {} : { find }) }).toString()}`}>
            Next page
          </a>
        )}
      </nav>
    </Office>
  );
}

function Board({ lines, now }: { readonly lines: readonly ClaimLine[]; readonly now: string }): VNode {
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
        {lines.map((line) => {
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
                {standing.next}
                {standing.by === null ? null : (
                  <span class="sub">
                    {standing.by < now ? 'was due' : 'by'} {showDay(standing.by)}
                  </span>
                )}
              </td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

/** The outcome of a line, where it is one. */
export function outcomeOf(outcome: string | null): 'approved' | 'approved in part' | 'declined' | null {
  return outcome === 'approved' || outcome === 'approved in part' || outcome === 'declined' ? outcome : null;
}
