import { Fragment, type ReactNode } from 'react';
import type { ChartProps } from './chart.js';
import { fillOf, MOST_SERIES } from './chart-patterns.js';
import { axisEnd, highestOf, nameOf, segmentsOf, type ChartRow } from './chart-scale.js';
import { shownBy } from './chart-words.js';

/** Width in hundredths below which a part has no room for its number. */
const ROOM = 9;

/** Bars from left to right, a line for each row: its name, its bars, and its numbers at the end. */
export function ChartBars(props: ChartProps & { readonly id: string }): ReactNode {
  const stacked = props.kind === 'stacked';
  const end = props.end ?? axisEnd(highestOf(props.rows, stacked));
  return (
    <div className="bar-rows">
      {props.rows.map((row) => (
        <Fragment key={nameOf(row)}>
          <span className="of">
            {row.says}
            {row.sub === undefined ? null : <span className="sub">{row.sub}</span>}
          </span>
          {stacked ? <Stack {...props} row={row} end={end} /> : <Bars {...props} row={row} end={end} />}
        </Fragment>
      ))}
    </div>
  );
}

type RowProps = ChartProps & { readonly id: string; readonly row: ChartRow; readonly end: number };

function Bars({ id, row, end, show, series }: RowProps): ReactNode {
  return (
    <>
      <span className="tracks">
        {series.map((says, n) => {
          const value = row.values[n] ?? null;
          return (
            <svg key={says} width="100%">
              <line className="foot" x1="0" x2="0" y1="0" y2="100%" />
              {value === null || value <= 0 ? null : (
                <rect
                  className={`part s${n % MOST_SERIES}`}
                  width={`${Math.min(100, (value / end) * 100)}%`}
                  y="2"
                  height="14"
                  fill={fillOf(id, n)}
                />
              )}
              {n === 0 && row.between !== undefined ? <Whisker between={row.between} end={end} /> : null}
            </svg>
          );
        })}
      </span>
      <span className="ends">
        {series.map((says, n) => (
          <span key={says}>{shownBy(show, row.values[n] ?? null)}</span>
        ))}
      </span>
    </>
  );
}

function Whisker({ between, end }: { readonly between: readonly [number, number]; readonly end: number }): ReactNode {
  const [from, to] = between.map((value) => `${(value / end) * 100}%`);
  return (
    <>
      {['halo', 'whisker'].map((name) => (
        <g key={name} className={name}>
          <line x1={from} x2={to} y1="9" y2="9" />
          <line x1={from} x2={from} y1="5" y2="13" />
          <line x1={to} x2={to} y1="5" y2="13" />
        </g>
      ))}
    </>
  );
}

function Stack({ id, row, end, show }: RowProps): ReactNode {
  const parts = segmentsOf(row.values, end);
  return (
    <>
      <span className="tracks">
        <svg width="100%">
          <line className="foot" x1="0" x2="0" y1="0" y2="100%" />
          {parts.map(({ series, from, width, value }) => (
            <Fragment key={series}>
              <rect
                className={`part s${series % MOST_SERIES}`}
                x={`${from}%`}
                width={`${width}%`}
                y="2"
                height="14"
                fill={fillOf(id, series)}
              />
              {width < ROOM ? null : (
                <text x={`${from + width / 2}%`} y="9" dominantBaseline="central" textAnchor="middle">
                  {shownBy(show, value)}
                </text>
              )}
            </Fragment>
          ))}
        </svg>
      </span>
      <span className="ends">
        <span>
          {shownBy(
            show,
            parts.reduce((sum, { value }) => sum + value, 0),
          )}
        </span>
      </span>
    </>
  );
}
