import { Fragment, type ReactNode } from 'react';
import type { ChartProps } from './chart.js';
import { dashOf, MOST_SERIES, PointMark } from './chart-patterns.js';
import { axisEnd, highestOf } from './chart-scale.js';
import { shownBy } from './chart-words.js';

/** At most so many names stand under the line; the table has all. */
const NAMES = 6;

interface Spot {
  /** Hundredths from the left. */
  readonly x: number;
  /** Hundredths from the top. */
  readonly y: number;
  readonly value: number;
}

/** A line for each series along rows that are moments in order; where nothing can be said the line is broken. */
export function ChartLines({ rows, series, kind, show, end: wanted }: ChartProps & { readonly id: string }): ReactNode {
  const end = wanted ?? axisEnd(highestOf(rows, false));
  const spots = (n: number): (Spot | undefined)[] =>
    rows.map(({ values }, at) => {
      const value = values[n] ?? null;
      return value === null ? undefined : { x: ((at + 0.5) / rows.length) * 100, y: (1 - value / end) * 100, value };
    });
  const every = Math.ceil(rows.length / NAMES);
  return (
    <div className="line-plot">
      <span className="scale">
        {[end, end / 2, 0].map((value) => (
          <span key={value}>{value === 0 ? '0' : shownBy(show, value)}</span>
        ))}
      </span>
      <svg className="field" width="100%">
        {[0, 50, 100].map((y) => (
          <line key={y} className="rule" x1="0" x2="100%" y1={`${y}%`} y2={`${y}%`} />
        ))}
        {series.map((says, n) => (
          <OneLine key={says} spots={spots(n)} series={n} steps={kind === 'steps'} show={show} />
        ))}
      </svg>
      <span className="moments">
        {rows.map(({ says }, at) => (at % every === 0 ? <span key={says}>{says}</span> : null))}
      </span>
    </div>
  );
}

function OneLine(props: {
  readonly spots: readonly (Spot | undefined)[];
  readonly series: number;
  readonly steps: boolean;
  readonly show: ChartProps['show'];
}): ReactNode {
  const { spots, series, steps } = props;
  const last = spots.findLastIndex((spot) => spot !== undefined);
  const line = { className: `stroke s${series % MOST_SERIES}`, strokeDasharray: dashOf(series) };
  return (
    <>
      {spots.map((spot, at) => {
        const before = spots[at - 1];
        if (spot === undefined) return null;
        const [x, y] = [`${spot.x}%`, `${spot.y}%`];
        return (
          <Fragment key={at}>
            {before === undefined ? null : steps ? (
              <>
                <line {...line} x1={`${before.x}%`} y1={`${before.y}%`} x2={x} y2={`${before.y}%`} />
                <line {...line} x1={x} y1={`${before.y}%`} x2={x} y2={y} />
              </>
            ) : (
              <line {...line} x1={`${before.x}%`} y1={`${before.y}%`} x2={x} y2={y} />
            )}
            <svg x={x} y={y} overflow="visible">
              <PointMark series={series} />
            </svg>
            {at === last ? (
              <text x={x} y={y} dy="-10" textAnchor="middle">
                {shownBy(props.show, spot.value)}
              </text>
            ) : null}
          </Fragment>
        );
      })}
    </>
  );
}
