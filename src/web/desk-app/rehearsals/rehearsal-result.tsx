import type { ReactNode } from 'react';
import { moneyDecimal } from '../../../kernel/money.js';
import type { PartyEffect, RehearsalResult, Turn } from '../../../policies/rehearsals.contract.js';
import { showMoney } from '../../domain/money-words.js';
import { beforeAndAfter, partiesByChange, turnTable } from '../../domain/rehearsal-views.js';
import { count } from '../../domain/time-words.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { Chart } from '../parts/chart.js';
import { Note } from '../parts/parts.js';
import { MoneyTable, MoneyWords, showDifference } from './rehearsal-money.js';

interface ResultProps {
  readonly result: RehearsalResult;
  readonly comparedWith: number | undefined;
}

/** What a rehearsal found: by how much money, and from what to what. */
export function Result({ result }: Pick<ResultProps, 'result'>): ReactNode {
  const { claims, changed, money, remedies, responsible, holds, problems, cautions } = result;
  return (
    <>
      <section className="sheet stack" id="result">
        <h2>What changes</h2>
        <p className="big">
          {claims === 0
            ? 'No past claim lies there.'
            : changed === 0
              ? `All ${count(claims, 'claim')} come out as before.`
              : `${changed} of ${count(claims, 'claim')} come out otherwise.`}
        </p>
        <MoneyWords money={money} />
        {money.length === 0 ? null : <MoneyTable money={money} />}
        {problems.length === 0 ? null : (
          <Note tone="bad" title="The version cannot be applied to some claims.">
            <ul>
              {problems.map(({ problem, claims: many }) => (
                <li key={problem}>
                  {count(many, 'claim')}: {problem}
                </li>
              ))}
            </ul>
          </Note>
        )}
        <Note tone="plainly" title="Before you rely on it">
          <ul>
            {cautions.map((says) => (
              <li key={says}>{says}</li>
            ))}
          </ul>
        </Note>
      </section>
      {claims === 0 ? null : (
        <section className="sheet stack" id="turns">
          <h2>From what to what</h2>
          <Turns title="Remedy" turns={remedies} />
          <Turns title="Who answers" turns={responsible} />
          <Turns title="Held for safety" turns={holds} />
        </section>
      )}
    </>
  );
}

/** The same drawn, for whom it changes, and in which kinds of case. */
export function ResultMore({ result, comparedWith }: ResultProps): ReactNode {
  if (result.claims === 0) return null;
  return (
    <>
      <section className="sheet" id="charts">
        <h2>Drawn</h2>
        <div className="drawings">
          <Drawn result={result} />
        </div>
      </section>
      <section className="sheet stack" id="whom">
        <h2>For whom</h2>
        {(['retailer', 'carrier', 'maker'] as const).map((kind) => (
          <Parties key={kind} kind={kind} parties={result.whom[kind]} />
        ))}
      </section>
      {result.regions.length === 0 ? null : <KindsOfCase regions={result.regions} comparedWith={comparedWith} />}
    </>
  );
}

function Turns({ title, turns }: { readonly title: string; readonly turns: readonly Turn[] }): ReactNode {
  const { columns, rows, totals, all } = turnTable(turns);
  if (all === 0) return null;
  return (
    <div className="scroll" tabIndex={0} role="region" aria-label={`${title} before and after`}>
      <table className="turns">
        <caption>
          {title}: before from top to bottom, after from left to right. What lies outside the framed cells comes out
          otherwise.
        </caption>
        <thead>
          <tr>
            <th scope="col">Before</th>
            {columns.map((column) => (
              <th scope="col" className="amount" key={column}>
                {sentenceCase(column)}
              </th>
            ))}
            <th scope="col" className="amount">
              All
            </th>
          </tr>
        </thead>
        <tbody>
          {rows.map(({ was, claims, all: ofRow }) => (
            <tr key={was}>
              <th scope="row">{sentenceCase(was)}</th>
              {claims.map((many, at) => (
                <td className={columns[at] === was ? 'amount stays' : 'amount'} key={columns[at]}>
                  {many === 0 ? <span className="quiet">0</span> : columns[at] === was ? many : <strong>{many}</strong>}
                </td>
              ))}
              <td className="amount">{ofRow}</td>
            </tr>
          ))}
          <tr className="total">
            <th scope="row">All</th>
            {totals.map((many, at) => (
              <td className="amount" key={columns[at]}>
                {many}
              </td>
            ))}
            <td className="amount">{all}</td>
          </tr>
        </tbody>
      </table>
    </div>
  );
}

function Drawn({ result: { money, remedies } }: { readonly result: RehearsalResult }): ReactNode {
  return (
    <>
      {money.map(({ currency, customerWasMinor, customerBecomesMinor, costWasMinor, costBecomesMinor }) => (
        <Chart
          key={currency}
          title={`Money before and after, ${currency}`}
          kind="bars"
          rowHead="Money"
          series={['Before', 'After']}
          rows={[
            { says: 'To customers', values: [customerWasMinor, customerBecomesMinor] },
            { says: 'Cost in all', values: [costWasMinor, costBecomesMinor] },
          ]}
          show={(amountMinor) => showMoney(amountMinor, currency)}
          plain={(amountMinor) => moneyDecimal({ amountMinor, currency })}
          file={`rehearsal-money-${currency.toLowerCase()}`}
        />
      ))}
      <Chart
        title="Claims by remedy, before and after"
        kind="bars"
        rowHead="Remedy"
        series={['Before', 'After']}
        rows={beforeAndAfter(remedies).map(({ value, before, after }) => ({
          says: sentenceCase(value),
          values: [before, after],
        }))}
        file="rehearsal-remedies"
      />
    </>
  );
}

const KINDS = { retailer: 'Retailers', carrier: 'Carriers', maker: 'Makers' } as const;

interface PartiesProps {
  readonly kind: keyof typeof KINDS;
  readonly parties: readonly PartyEffect[];
}

function Parties({ kind, parties }: PartiesProps): ReactNode {
  if (parties.length === 0) return null;
  return (
    <div className="scroll" tabIndex={0} role="region" aria-label={KINDS[kind]}>
      <table>
        <caption>{KINDS[kind]}, those with most changed claims first</caption>
        <thead>
          <tr>
            <th scope="col">Name</th>
            <th scope="col" className="amount">
              Claims
            </th>
            <th scope="col" className="amount">
              Changed
            </th>
            <th scope="col" className="amount">
              Customers get
            </th>
            <th scope="col" className="amount">
              Demanded of them
            </th>
          </tr>
        </thead>
        <tbody>
          {partiesByChange(parties).map(({ name, claims, changed, money }) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              <td className="amount">{claims}</td>
              <td className="amount">{changed}</td>
              <td className="amount">
                {money.map(({ currency, customerDeltaMinor }) => (
                  <span className="sum" key={currency}>
                    {showDifference(customerDeltaMinor, currency)}
                  </span>
                ))}
              </td>
              <td className="amount">
                {money.map(({ currency, demandDeltaMinor }) => (
                  <span className="sum" key={currency}>
                    {showDifference(demandDeltaMinor, currency)}
                  </span>
                ))}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

interface KindsProps {
  readonly regions: RehearsalResult['regions'];
  readonly comparedWith: number | undefined;
}

/** Where the version decides otherwise; kinds that no claim is like stand apart. */
function KindsOfCase({ regions, comparedWith }: KindsProps): ReactNode {
  const [met, others] = [regions.filter(({ claims }) => claims > 0), regions.filter(({ claims }) => claims === 0)];
  return (
    <section className="sheet stack" id="kinds">
      <h2>Kinds of case</h2>
      <p className="quiet">
        Where the version decides otherwise{comparedWith === undefined ? '' : ` than version ${comparedWith}`}, and how
        many claims lie there. A claim may lie in several of them, or come out alike all the same.
      </p>
      <Kinds regions={met} />
      {others.length === 0 ? null : (
        <details>
          <summary>{count(others.length, 'kind', 'kinds')} that no claim is like</summary>
          <Kinds regions={others} />
        </details>
      )}
    </section>
  );
}

function Kinds({ regions }: Pick<KindsProps, 'regions'>): ReactNode {
  return (
    <ol className="plain kinds-of-case">
      {regions.map(({ decision, says, was, becomes, claims }) => (
        <li key={`${decision} ${says} ${was} ${becomes}`}>
          <h3>
            {sentenceCase(decision)}: {count(claims, 'claim')}
          </h3>
          <div className="was-now">
            <p className="was">
              <span className="quiet">was</span> {was}
            </p>
            <p className="becomes">
              <span className="quiet">becomes</span> <strong>{becomes}</strong>
            </p>
          </div>
          <details>
            <summary>When exactly</summary>
            <p>{sentenceCase(says)}</p>
          </details>
        </li>
      ))}
    </ol>
  );
}
