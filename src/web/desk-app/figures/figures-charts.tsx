import { useState, type ReactNode } from 'react';
import type { Figures } from '../../../insight/insight.contract.js';
import { moneyDecimal } from '../../../kernel/money.js';
import { showMoney } from '../../domain/money-words.js';
import { Chart } from '../parts/chart.js';
import {
  checkRows,
  decidedRows,
  makerMonthRows,
  makerRows,
  MONEY_SERIES,
  moneyRows,
  monthRows,
  openRows,
  ruleRows,
  showHours,
  showPart,
  timeRows,
} from './figure-rows.js';

interface OfFigures {
  readonly figures: Figures;
  /** Whether the numbers stand open. */
  readonly numbers: boolean;
}

/** Lines that are drawn at first; the others come on demand. */
const AT_FIRST = 12;
/** Makers whose months are drawn; the others are a choice above away. */
const MOST_MAKERS = 6;

/** Hours with two decimals, as programs read them. */
const plainHours = (hours: number): number => Math.round(hours * 100) / 100;
const plainPart = (part: number): number => Math.round(part * 10_000) / 10_000;

export function Decisions({ figures, numbers }: OfFigures): ReactNode {
  const hours = { show: showHours, plain: plainHours, unit: 'hours', open: numbers };
  return (
    <section className="sheet">
      <h2>Decisions</h2>
      <div className="figures-grid">
        <Chart
          title="Decided by outcome"
          lead="Claims whose standing decision was made in these days, by what they were about."
          kind="stacked"
          rowHead="Outcome"
          {...decidedRows(figures)}
          file="decided-by-outcome"
          open={numbers}
        />
        <Chart
          title="Time to first look and to decision"
          lead="From filing. Those who still wait are counted beside, not in it."
          kind="bars"
          rowHead="Time"
          series={['Median', 'Nine in ten within']}
          more={['Claims', 'Still waiting']}
          rows={timeRows(figures)}
          file="times"
          {...hours}
        />
        <Chart
          title="Time to decision by month"
          lead="By the month of the first decision."
          kind="line"
          rowHead="Month"
          series={['Median', 'Nine in ten within']}
          more={['Claims']}
          rows={monthRows(figures)}
          file="time-to-decision-by-month"
          {...hours}
        />
        <Chart
          title="Age of open cases"
          lead="All cases that wait for a decision now, whatever the days above."
          kind="stacked"
          rowHead="Since filing"
          {...openRows(figures)}
          file="age-of-open-cases"
          open={numbers}
        />
      </div>
    </section>
  );
}

export function Broken({ figures, numbers }: OfFigures): ReactNode {
  const makers = makerRows(figures);
  const shown = makers.rows.slice(0, MOST_MAKERS);
  return (
    <section className="sheet">
      <h2>What was broken</h2>
      <div className="figures-grid">
        <Chart
          title="Class by maker"
          lead="Findings of claims filed in these days, as decided or else as proposed. A claim may have several."
          kind="stacked"
          rowHead="Maker"
          {...makers}
          file="class-by-maker"
          open={numbers}
        />
        {shown.map(({ says }) => (
          <Chart
            key={says}
            title={`${says}, by month`}
            kind="stacked"
            rowHead="Month"
            {...makerMonthRows(figures, says)}
            file={`class-by-month-${says.toLowerCase().replaceAll(/[^a-z0-9]+/g, '-')}`}
            open={numbers}
          />
        ))}
      </div>
      {makers.rows.length > shown.length ? (
        <p className="quiet">
          These are the {MOST_MAKERS} makers with most findings. Choose a maker above to see the months of another.
        </p>
      ) : null}
    </section>
  );
}

export function Money({ figures, numbers }: OfFigures): ReactNode {
  const currencies = moneyRows(figures);
  return (
    <section className="sheet">
      <h2>Money by party</h2>
      {currencies.length === 0 ? (
        <p className="lead">No recovery was opened in these days. Recoveries are opened when a decision stands.</p>
      ) : null}
      <div className="figures-grid">
        {currencies.map(({ currency, rows }) => (
          <Chart
            key={currency}
            title={`Owed and recovered, ${currency}`}
            lead="Recoveries opened in these days."
            kind="stacked"
            rowHead="Party"
            series={MONEY_SERIES}
            more={['Demands']}
            rows={rows}
            show={(minor) => showMoney(minor, currency)}
            plain={(minor) => moneyDecimal({ amountMinor: minor, currency })}
            unit={currency}
            file={`money-by-party-${currency.toLowerCase()}`}
            open={numbers}
          />
        ))}
      </div>
    </section>
  );
}

export function RulesAndChecks({ figures, numbers }: OfFigures): ReactNode {
  const part = { kind: 'bars', show: showPart, plain: plainPart, end: 1, open: numbers } as const;
  return (
    <section className="sheet">
      <h2>Rules and checks</h2>
      <div className="figures-grid">
        <Some of={ruleRows(figures.overrides)} what="rules">
          {(rows) => (
            <Chart
              {...part}
              title="Departures by rule"
              lead="How often a decision departed from the proposal where the rule had fired, with its 95 % interval. Rules that always fire carry the average of all."
              rowHead="Rule"
              series={['Departed']}
              more={['Departures', 'Decisions']}
              rows={rows}
              file="departures-by-rule"
            />
          )}
        </Some>
        <Some of={checkRows(figures.checks)} what="checks">
          {(rows) => (
            <Chart
              {...part}
              title="What checks tell"
              lead="How often it moved a finding by 3 decibans or more, of the claims in which somebody looked, with its 95 % interval."
              rowHead="What was looked for"
              series={['Moved a finding']}
              more={['Moved', 'Looked', 'Was there', 'Not looked', 'Mean decibans']}
              rows={rows}
              file="what-checks-tell"
            />
          )}
        </Some>
      </div>
    </section>
  );
}

/** The first of many lines, and all of them once somebody asks. */
function Some<Row>(props: {
  readonly of: readonly Row[];
  readonly what: string;
  readonly children: (rows: readonly Row[]) => ReactNode;
}): ReactNode {
  const { of, what, children } = props;
  const [all, setAll] = useState(false);
  return (
    <div>
      {children(all ? of : of.slice(0, AT_FIRST))}
      {of.length <= AT_FIRST ? null : (
        <p className="noprint">
          <button type="button" aria-expanded={all} onClick={() => setAll(!all)}>
            {all ? `Only the first ${AT_FIRST} ${what}` : `All ${of.length} ${what}`}
          </button>
        </p>
      )}
    </div>
  );
}
