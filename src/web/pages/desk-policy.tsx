import type { VNode } from 'preact';
import type { ClockRule, Parameter, PolicyDecision, PolicyDocument } from '../../policies/policies.contract.js';
import { count, showDate } from '../domain/time-words.js';
import { sentenceCase } from '../domain/trade-words.js';
import type { PolicyLine } from './desk-documents.js';
import { Office, type Onlooker } from './layout.js';
import { Caution, Facts, Note } from './parts.js';

/** One version of a policy, to be read: tables with their reasons, parameters with their dates, clocks. */
export function DeskPolicy(props: {
  readonly onlooker: Onlooker;
  readonly line: PolicyLine;
  readonly hash: string;
  readonly policy: PolicyDocument;
}): VNode {
  const { policy, line } = props;
  return (
    <Office title={`${policy.title}, version ${line.version}`} onlooker={props.onlooker} at="/desk/policies">
      <div class="head">
        <div>
          <p class="quiet">
            <a href="/desk/policies">Policies</a>
          </p>
          <h1>{policy.title}</h1>
          <p>
            Version {line.version}, in force from {showDate(line.effectiveFrom)}
            {line.publishedAt === null ? ' once it is published' : ''}
          </p>
        </div>
      </div>
      <Note tone="warn" title="Caution">
        <p>{policy.caution}</p>
      </Note>
      <section class="sheet">
        <h2>Governs</h2>
        <Facts
          of={[
            ['Place', policy.jurisdiction],
            ['Governed by', policy.governedBy],
            ['Time zone', policy.zone],
            ['Money', `${policy.money.currency}, rounded ${policy.money.rounding.replaceAll('-', ' ')}`],
            ['Hash', <span class="hash">{props.hash}</span>],
          ]}
        />
      </section>
      {policy.decisions.map((decision) => (
        <Decision decision={decision} />
      ))}
      <Parameters parameters={policy.parameters} />
      <PolicyClocks clocks={policy.clocks ?? []} />
      <section class="sheet">
        <h2>Examples</h2>
        <p>
          {count(policy.examples.length, 'example')} must come out as written before a version can be published; all{' '}
          {policy.examples.length} did.
        </p>
      </section>
      <Caution />
    </Office>
  );
}

function Decision({ decision }: { readonly decision: PolicyDecision }): VNode {
  const { table } = decision;
  const columns = Object.entries(table?.columns ?? {});
  const gives = Object.keys(decision.gives);
  return (
    <section class="sheet stack">
      <h2>{decision.title ?? sentenceCase(decision.id)}</h2>
      {decision.expression === undefined ? null : (
        <p>
          <code>{decision.expression}</code>
        </p>
      )}
      {table === undefined ? null : (
        <div class="scroll policy" tabIndex={0} role="region" aria-label={`Table ${decision.id}`}>
          <table>
            <caption>
              {table.hit === 'first' ? 'The first rule that fits counts.' : 'Exactly one rule may fit.'} An empty cell
              fits anything.
            </caption>
            <thead>
              <tr>
                <th scope="col">Rule</th>
                {columns.map(([id, expression]) => (
                  <th scope="col">
                    {sentenceCase(id)}
                    {expression === id ? null : (
                      <span class="sub">
                        <code>{expression}</code>
                      </span>
                    )}
                  </th>
                ))}
                {gives.map((id) => (
                  <th scope="col">→ {id}</th>
                ))}
                <th scope="col">Because</th>
              </tr>
            </thead>
            <tbody>
              {table.rules.map((rule) => (
                <tr>
                  <th scope="row">
                    <code>{rule.id}</code>
                  </th>
                  {columns.map(([id]) => (
                    <td>{rule.when[id] === undefined ? '' : <code>{rule.when[id]}</code>}</td>
                  ))}
                  {gives.map((id) => (
                    <td>
                      <strong>{outcome(rule.then[id])}</strong>
                    </td>
                  ))}
                  <td class="because">
                    {rule.because}
                    {rule.source === undefined ? null : <span class="sub">{rule.source}</span>}
                  </td>
                </tr>
              ))}
              {table.otherwise === undefined ? null : (
                <tr>
                  <th scope="row">otherwise</th>
                  {columns.map(() => (
                    <td />
                  ))}
                  {gives.map((id) => (
                    <td>
                      <strong>{outcome(table.otherwise?.[id])}</strong>
                    </td>
                  ))}
                  <td class="because">{table.otherwiseBecause}</td>
                </tr>
              )}
            </tbody>
          </table>
        </div>
      )}
    </section>
  );
}

function outcome(value: string | number | boolean | null | undefined): string {
  if (value === undefined) return '';
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  return value === null ? 'nobody' : String(value);
}

function Parameters({ parameters }: { readonly parameters: Readonly<Record<string, Parameter>> }): VNode {
  return (
    <section class="sheet">
      <h2>Parameters</h2>
      <table class="cards">
        <caption>A value holds from its date until the next one’s.</caption>
        <thead>
          <tr>
            <th scope="col">Parameter</th>
            <th scope="col">From</th>
            <th scope="col">Value</th>
            <th scope="col">Because</th>
          </tr>
        </thead>
        <tbody>
          {Object.entries(parameters).flatMap(([name, { unit, values }]) =>
            values.map(({ from, value, because, source }) => (
              <tr>
                <th scope="row">{sentenceCase(name)}</th>
                <td data-label="From">{showDate(from)}</td>
                <td data-label="Value">
                  {value} {unit ?? ''}
                </td>
                <td data-label="Because">
                  {because}
                  {source === undefined ? null : <span class="sub">{source}</span>}
                </td>
              </tr>
            )),
          )}
        </tbody>
      </table>
    </section>
  );
}

function PolicyClocks({ clocks }: { readonly clocks: readonly ClockRule[] }): VNode | null {
  if (clocks.length === 0) return null;
  return (
    <section class="sheet">
      <h2>Clocks</h2>
      <table class="cards">
        <caption class="away">Clocks that the policy starts</caption>
        <thead>
          <tr>
            <th scope="col">Clock</th>
            <th scope="col">Runs</th>
            <th scope="col">When it lapses</th>
          </tr>
        </thead>
        <tbody>
          {clocks.map((clock) => (
            <tr>
              <th scope="row">
                {clock.title}
                <span class="sub">
                  {clock.ground}. {clock.source}
                </span>
              </th>
              <td data-label="Runs">
                {clock.length} {clock.unit} from “{clock.starts}” to “{clock.stops}”
              </td>
              <td data-label="When it lapses">
                {sentenceCase(clock.lapse)}; owed by the {clock.owedBy}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
