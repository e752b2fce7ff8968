import type { VNode } from 'preact';
import type { StandsAt } from '../../claims/claims.contract.js';
import { showClaimNumber } from '../../kernel/claim-number.js';
import type { Remedy } from '../../kernel/vocabulary.js';
import { showMoney } from '../domain/money-words.js';
import { showDay } from '../domain/time-words.js';
import { GROUND_WORDS, remediesInWords } from '../domain/trade-words.js';
import type { Claim } from '../case-data.js';
import type { ClaimLine } from '../case-data.js';
import { Office, type Onlooker } from './layout.js';
import { Caution, Facts, Note } from './parts.js';

/** A decision that was in force, as the retailer may see it. */
export interface Letter {
  /** Its number among the decisions on the claim. */
  readonly n: number;
  readonly outcome: string;
  readonly remedies: readonly Remedy[];
  /** Minor units of the claim's currency. */
  readonly totalMinor: number;
  /** RFC 3339 instant from which it counted. */
  readonly at: string;
  /** Another decision has taken its place. */
  readonly replaced: boolean;
}

export interface RetailerLetterView {
  readonly onlooker: Onlooker;
  readonly claim: Claim;
  readonly line: ClaimLine;
  readonly zone: string;
  readonly letter: Letter;
  readonly standing: StandsAt;
}

const DECIDED: Readonly<Record<string, string>> = {
  approved: 'The claim is approved.',
  'approved in part': 'The claim is approved in part.',
  declined: 'The claim is declined.',
};

/** One decision as a letter to print or keep. */
export function RetailerLetter(view: RetailerLetterView): VNode {
  const { claim, line, letter, zone } = view;
  const number = claim.number === null ? 'Draft' : showClaimNumber(claim.number);
  return (
    <Office title={`Decision on ${number}`} onlooker={view.onlooker} at="/claims" narrow>
      <div class="stack">
        <p class="noprint">
          <a href={`/claims/${claim.id}`}>Back to the claim</a> · To print it or keep it as a PDF, use <em>Print</em> in
          the menu of your browser.
        </p>
        {letter.replaced ? (
          <Note tone="warn" title="A later decision has taken the place of this one.">
            <p>It is kept here because it was in force. What counts now stands on the page of the claim.</p>
          </Note>
        ) : null}
        <article class="sheet stack letter">
          <p>{showDay(letter.at, zone)}</p>
          <p>To {line.retailer}</p>
          <h1>Decision on claim {number}</h1>
          <Facts
            of={[
              ['Order', line.orderReference],
              ['Item', line.model],
              ['Serial number', <span class="nums">{line.serial}</span>],
              ['Claimed for', GROUND_WORDS[claim.ground]],
              ['Filed', claim.filedAt === null ? null : showDay(claim.filedAt, zone)],
            ]}
          />
          <p class="big">{DECIDED[letter.outcome] ?? letter.outcome}</p>
          <Gives view={view} />
          {letter.replaced ? null : <WhatNext standing={view.standing} zone={zone} />}
          {letter.replaced ? null : (
            <p>
              If something was missed, or is new, ask for another look on the page of the claim and say what it is. A
              person looks at it; until another decision is made, this one counts.
            </p>
          )}
          <p>The claims desk</p>
          <Caution />
        </article>
      </div>
    </Office>
  );
}

function Gives({ view: { letter, claim } }: { readonly view: RetailerLetterView }): VNode {
  const gives = letter.remedies.some((remedy) => remedy !== 'none');
  if (letter.outcome === 'declined' || !gives) return <p>Nothing is given or paid on this claim.</p>;
  return (
    <>
      <p>Your customer gets: {remediesInWords(letter.remedies).toLowerCase()}.</p>
      <p>
        In all this comes to <strong class="figures">{showMoney(letter.totalMinor, claim.currency)}</strong>.
      </p>
    </>
  );
}

function WhatNext({ standing, zone }: { readonly standing: StandsAt; readonly zone: string }): VNode {
  return (
    <p>
      What happens next: {standing.next}
      {standing.by === null ? '' : ` By ${showDay(standing.by, zone)}.`}
    </p>
  );
}
