import type { ReactNode } from 'react';

/** What a series is filled with, on a field of 8 by 8; the colour is the third signal. */
const PATTERNS: readonly ReactNode[] = [
  <rect key="full" width="8" height="8" fill="currentColor" />,
  <path key="slant" d="M-2 2L2-2M0 8L8 0M6 10L10 6" stroke="currentColor" strokeWidth="2.2" />,
  <path key="dots" d="M1 1h3v3H1ZM5 5h3v3H5Z" fill="currentColor" />,
  <path key="flat" d="M0 2h8M0 6h8" stroke="currentColor" strokeWidth="1.6" />,
  <path key="net" d="M0 0L8 8M8 0L0 8" stroke="currentColor" strokeWidth="1.2" />,
  null,
];

/** How many series can be told apart. */
export const MOST_SERIES = PATTERNS.length;

/** Marks on a line, around its point. */
const POINTS: readonly string[] = [
  'M-4 0a4 4 0 1 0 8 0a4 4 0 1 0-8 0Z',
  'M-4-4h8v8h-8Z',
  'M0-5L5 4H-5Z',
  'M0-5.5L5.5 0 0 5.5-5.5 0Z',
  'M-5-4H5L0 5Z',
  'M-4-1.5h8v3h-8Z',
];
const DASHES: readonly string[] = ['none', '7 3', '2 3', '10 3 2 3', '4 6', '12 4'];

/** Address of the filling of a series. @param id of the chart */
export function fillOf(id: string, series: number): string {
  return `url(#${id}-fill-${series % MOST_SERIES})`;
}

/** The fillings of a chart, to be pointed at by its bars. */
export function PatternDefs({ id, count }: { readonly id: string; readonly count: number }): ReactNode {
  return (
    <svg className="defs" width="0" height="0" aria-hidden="true">
      <defs>
        {PATTERNS.slice(0, count).map((drawn, n) => (
          <pattern
            key={n}
            id={`${id}-fill-${n}`}
            className={`s${n}`}
            width="8"
            height="8"
            patternUnits="userSpaceOnUse"
          >
            <rect width="8" height="8" className="ground" />
            {drawn}
          </pattern>
        ))}
      </defs>
    </svg>
  );
}

/** The mark of a series at a point. */
export function PointMark({ series }: { readonly series: number }): ReactNode {
  return <path className={`point s${series % MOST_SERIES}`} d={POINTS[series % MOST_SERIES]} />;
}

/** How the line of a series is broken. */
export function dashOf(series: number): string {
  return DASHES[series % MOST_SERIES] ?? 'none';
}

/** A series as it looks, beside its name. */
export function Swatch(props: { readonly id: string; readonly series: number; readonly line: boolean }): ReactNode {
  const name = `s${props.series % MOST_SERIES}`;
  return (
    <svg className="swatch" viewBox="0 0 24 14">
      {props.line ? (
        <>
          <line className={`stroke ${name}`} x1="0" x2="24" y1="7" y2="7" strokeDasharray={dashOf(props.series)} />
          <g transform="translate(12 7)">
            <PointMark series={props.series} />
          </g>
        </>
      ) : (
        <rect className={`part ${name}`} x="1" y="1" width="22" height="12" fill={fillOf(props.id, props.series)} />
      )}
    </svg>
  );
}
