import './chart.css';
import { useId, type ReactNode } from 'react';
import { ChartNumbers } from './chart-numbers.js';
import { PatternDefs, Swatch } from './chart-patterns.js';
import { ChartBars } from './chart-bars.js';
import { ChartLines } from './chart-lines.js';
import type { ChartRow } from './chart-scale.js';

export interface ChartProps {
  /** What it shows, as a heading says it. */
  readonly title: string;
  /** A sentence that says how to read it, or what stands out. */
  readonly lead?: string | undefined;
  /** `bars`: one beside the other from left to right; `stacked`: parts of one bar; `line` and `steps`: along the rows, which are moments in order. */
  readonly kind: 'bars' | 'stacked' | 'line' | 'steps';
  /** Name of the first column: what the rows are. */
  readonly rowHead: string;
  /** What is counted; at most six, each with a pattern of its own. */
  readonly series: readonly string[];
  readonly rows: readonly ChartRow[];
  /** Names of further columns of the table. */
  readonly more?: readonly string[] | undefined;
  /** A value as people read it; absent: as a number. */
  readonly show?: ((value: number) => string) | undefined;
  /** A value as it stands in the file; absent: the number itself. */
  readonly plain?: ((value: number) => string | number) | undefined;
  /** Unit of what stands in the file, told in its heads. */
  readonly unit?: string | undefined;
  /** Where the axis ends; absent: at a round number above the highest value. */
  readonly end?: number | undefined;
  /** Name of the file of comma-separated values, without its ending. */
  readonly file: string;
  /** Whether the numbers stand open at first; absent: they do. */
  readonly open?: boolean | undefined;
}

/**
 * Figures drawn, and the same figures as a table beneath. Series are told apart by pattern, name and place; colour comes third. The drawing
 * is one picture to readers of screens: what it says is in the table, which may be folded away and is printed in any case.
 */
export function Chart(props: ChartProps): ReactNode {
  const id = useId();
  const { title, lead } = props;
  return (
    <figure className="chart" aria-labelledby={`${id}-title`}>
      <figcaption>
        <h3 id={`${id}-title`}>{title}</h3>
        {lead === undefined ? null : <p className="small quiet">{lead}</p>}
      </figcaption>
      {props.rows.length === 0 ? <p>Nothing was counted here.</p> : <Drawn {...props} id={id} />}
    </figure>
  );
}

function Drawn(props: ChartProps & { readonly id: string }): ReactNode {
  const { id, title, kind, series } = props;
  const Drawing = kind === 'bars' || kind === 'stacked' ? ChartBars : ChartLines;
  return (
    <>
      <PatternDefs id={id} count={series.length} />
      {series.length < 2 ? null : (
        <ul className="legend" aria-hidden="true">
          {series.map((says, n) => (
            <li key={says}>
              <Swatch id={id} series={n} line={kind === 'line' || kind === 'steps'} />
              {says}
            </li>
          ))}
        </ul>
      )}
      <div className="drawing" role="img" aria-label={`${title}. The same numbers are in the table that follows.`}>
        <Drawing {...props} />
      </div>
      <ChartNumbers {...props} />
    </>
  );
}
