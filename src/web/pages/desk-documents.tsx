import type { VNode } from 'preact';
import { showDate } from '../domain/time-words.js';
import { Office, type Onlooker } from './layout.js';
import { Caution, Mark } from './parts.js';

/** A version of a policy as the list shows it. */
export interface PolicyLine {
  readonly code: string;
  readonly version: number;
  readonly title: string;
  readonly jurisdiction: string;
  readonly effectiveFrom: string;
  readonly publishedAt: string | null;
}

/** Every version of every policy. */
export function DeskPolicies({
  onlooker,
  policies,
}: {
  readonly onlooker: Onlooker;
  readonly policies: readonly PolicyLine[];
}): VNode {
  return (
    <Office title="Policies" onlooker={onlooker} at="/desk/policies">
      <div class="stack">
        <h1>Policies</h1>
        <p class="quiet">What decides who answers and what the customer gets. A published version never changes.</p>
        {policies.length === 0 ? (
          <p class="lead">
            There is no policy yet. Without one no claim can be assessed; policy owners draft and publish them.
          </p>
        ) : (
          <table class="queue cards">
            <caption class="away">Policies</caption>
            <thead>
              <tr>
                <th scope="col">Policy</th>
                <th scope="col">Place</th>
                <th scope="col">In force from</th>
                <th scope="col">State</th>
              </tr>
            </thead>
            <tbody>
              {policies.map(({ code, version, title, jurisdiction, effectiveFrom, publishedAt }) => (
                <tr>
                  <th scope="row">
                    <a href={`/desk/policies/${code}/${version}`}>{title}</a>
                    <span class="sub">
                      {code}, version {version}
                    </span>
                  </th>
                  <td data-label="Place">{jurisdiction}</td>
                  <td data-label="In force from">{showDate(effectiveFrom)}</td>
                  <td>
                    {publishedAt === null ? (
                      <Mark shape="ring" tone="plainly" says="Draft" />
                    ) : (
                      <Mark shape="square" tone="ok" says="Published" />
                    )}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        )}
        <Caution />
      </div>
    </Office>
  );
}
