import type { VNode } from 'preact';
import type {
  ClockRule,
  OutcomeValue,
  Parameter,
  PolicyDecision,
  PolicyDocument,
  PolicyTable,
} from '../../policies/policies.contract.js';
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
  return (
    <section class="sheet stack">
      <h2>{decision.title ?? sentenceCase(decision.id)}</h2>
      {decision.expression === undefined ? null : (
        <p>
          <code>{decision.expression}</code>
        </p>
      )}
      {table === undefined ? null : <RuleTable table={table} gives={Object.keys(decision.gives)} />}
    </section>
  );
}

/** Tables of policies have many columns and few filled cells, so each rule lists the cells that it fills. */
function RuleTable({ table, gives }: { readonly table: PolicyTable; readonly gives: readonly string[] }): VNode {
  const columns = Object.entries(table.columns);
  return (
    <table class="cards rules">
      <caption>
        {table.hit === 'first' ? 'The first rule that fits counts.' : 'Exactly one rule may fit.'} What a rule does not
        name may be anything.
      </caption>
      <thead>
        <tr>
          <th scope="col">Rule</th>
          <th scope="col">When</th>
          <th scope="col">Then</th>
          <th scope="col">Because</th>
        </tr>
      </thead>
      <tbody>
        {table.rules.map((rule) => (
          <tr>
            <th scope="row">
              <code>{rule.id}</code>
            </th>
            <td data-label="When">
              {Object.keys(rule.when).length === 0 ? 'always' : null}
              {columns
                .filter(([id]) => rule.when[id] !== undefined)
                .map(([id, expression]) => (
                  <span class="cell">
                    {expression} <code>{rule.when[id]}</code>
                  </span>
                ))}
            </td>
            <td data-label="Then">
              <Outcomes gives={gives} values={rule.then} />
            </td>
            <td data-label="Because">
              {rule.because}
              {rule.source === undefined ? null : <span class="sub">{rule.source}</span>}
            </td>
          </tr>
        ))}
        {table.otherwise === undefined ? null : (
          <tr>
            <th scope="row">otherwise</th>
            <td data-label="When">no rule fits</td>
            <td data-label="Then">
              <Outcomes gives={gives} values={table.otherwise} />
            </td>
            <td data-label="Because">{table.otherwiseBecause}</td>
          </tr>
        )}
      </tbody>
    </table>
  );
}

function Outcomes({
  gives,
  values,
}: {
  readonly gives: readonly string[];
  readonly values: Readonly<Record<string, OutcomeValue>>;
}): VNode {
  return (
    <>
      {gives.map((id) => (
        <span class="cell">
          {id} <strong>{outcome(values[id])}</strong>
        </span>
      ))}
    </>
  );
}

function outcome(value: OutcomeValue | undefined): string {
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
