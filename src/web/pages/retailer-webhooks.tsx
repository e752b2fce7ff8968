import type { VNode } from 'preact';
import { Office, type Onlooker } from './layout.js';

/** That calls to a retailer's address are not offered, and what there is instead. */
export function RetailerWebhooks({ onlooker }: { readonly onlooker: Onlooker }): VNode {
  return (
    <Office title="Webhooks" onlooker={onlooker} at="/claims/keys" narrow>
      <div class="stack">
        <h1>Webhooks</h1>
        <p class="lead">
          We do not call an address of yours when something happens on a claim. That is not offered yet, so there is
          nothing to set up here.
        </p>
        <section class="sheet stack">
          <h2>What to use instead</h2>
          <h3>Ask what has changed</h3>
          <p>
            A program with a <a href="/claims/keys">key</a> that may read claims asks for the list, the latest change
            first, and reads on until it meets a change that it has seen before. Every few minutes is enough.
          </p>
          <p>
            <code>GET /v1/claims?order=newest</code>
          </p>
          <h3>Ask what happened on one claim</h3>
          <p>
            Filed, more information asked for, information arrived, decided, remedy ordered, settled, closed, withdrawn,
            opened again: each with its time, in the words of the claim’s page.
          </p>
          <p>
            <code>GET /v1/claims/&#123;id&#125;/timeline</code>
          </p>
          <h3>Take your claims with you</h3>
          <p>
            <a href="/claims/export">Export</a> gives your claims as a file, for a spreadsheet or for a program, at once
            or every week or month.
          </p>
        </section>
      </div>
    </Office>
  );
}
