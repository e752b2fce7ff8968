import { useState, type ReactNode } from 'react';
import type { ChartProps } from './chart.js';
import { csvOf, shownBy } from './chart-words.js';
import { nameOf } from './chart-scale.js';
import { saveFile } from './save-file.js';

/** The numbers of a chart as a table, and as a file of comma-separated values. */
export function ChartNumbers(props: ChartProps): ReactNode {
  const { title, rowHead, series, rows, more = [], show } = props;
  const [open, setOpen] = useState(props.open ?? true);
  const between = rows.some((row) => row.between !== undefined);
  return (
    <details open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>The numbers</summary>
      <div className="scroll" role="region" tabIndex={0} aria-label={`Numbers: ${title}`}>
        <table>
          <caption className="away">{title}</caption>
          <thead>
            <tr>
              <th scope="col">{rowHead}</th>
              {[...series, ...(between ? ['95 % interval'] : []), ...more].map((says) => (
                <th key={says} scope="col" className="amount">
                  {says}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => (
              <tr key={nameOf(row)}>
                <th scope="row">
                  {row.says}
                  {row.sub === undefined ? null : <span className="sub">{row.sub}</span>}
                </th>
                {series.map((says, n) => (
                  <td key={says} className="amount">
                    {shownBy(show, row.values[n] ?? null)}
                  </td>
                ))}
                {between ? (
                  <td className="amount">
                    {row.between === undefined ? '–' : row.between.map((bound) => shownBy(show, bound)).join(' to ')}
                  </td>
                ) : null}
                {more.map((says, n) => (
                  <td key={says} className="amount">
                    {row.more?.[n] ?? '–'}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <p className="noprint">
        <button type="button" className="small" onClick={() => saveFile(`${props.file}.csv`, 'text/csv', csvOf(props))}>
          As CSV<span className="away">: {title}</span>
        </button>
      </p>
    </details>
  );
}
