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

/** What a rehearsal found: by how much money, from what to what, for whom, in which kinds of case. */
export function Result({ result, comparedWith }: ResultProps): ReactNode {
  const { claims, changed, money, remedies, responsible, holds, whom, regions, problems, cautions } = result;
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
        <>
          <section className="sheet stack" id="turns">
            <h2>From what to what</h2>
            <Turns title="Remedy" turns={remedies} />
            <Turns title="Who answers" turns={responsible} />
            <Turns title="Held for safety" turns={holds} />
          </section>
          <section className="sheet stack" id="charts">
            <h2>Drawn</h2>
            <Drawn result={result} />
          </section>
          <section className="sheet stack" id="whom">
            <h2>For whom</h2>
            {(['retailer', 'carrier', 'maker'] as const).map((kind) => (
              <Parties key={kind} kind={kind} parties={whom[kind]} />
            ))}
          </section>
          {regions.length === 0 ? null : <Regions regions={regions} comparedWith={comparedWith} />}
        </>
      )}
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
                  <span className="line" key={currency}>
                    {showDifference(customerDeltaMinor, currency)}
                  </span>
                ))}
              </td>
              <td className="amount">
                {money.map(({ currency, demandDeltaMinor }) => (
                  <span className="line" key={currency}>
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

function Regions({
  regions,
  comparedWith,
}: {
  readonly regions: RehearsalResult['regions'];
  readonly comparedWith: number | undefined;
}): ReactNode {
  return (
    <section className="sheet stack" id="regions">
      <h2>Kinds of case</h2>
      <div className="scroll" tabIndex={0} role="region" aria-label="Kinds of case">
        <table>
          <caption>
            Where the version decides otherwise{comparedWith === undefined ? '' : ` than version ${comparedWith}`}, and
            how many claims lie there.
          </caption>
          <thead>
            <tr>
              <th scope="col">Decision</th>
              <th scope="col">When</th>
              <th scope="col">Was</th>
              <th scope="col">Becomes</th>
              <th scope="col" className="amount">
                Claims
              </th>
            </tr>
          </thead>
          <tbody>
            {regions.map(({ decision, says, was, becomes, claims }) => (
              <tr key={`${decision} ${says} ${was} ${becomes}`}>
                <th scope="row">{sentenceCase(decision)}</th>
                <td>{says}</td>
                <td>{was}</td>
                <td>{becomes}</td>
                <td className="amount">{claims}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}
