import { useRef, useState, type ReactNode } from 'react';
import type { Trouble } from '../api/http.js';
import { useModel } from '../api/visits.js';
import { Choose, TextLine } from '../parts/fields.js';
import { Failing } from '../parts/states.js';
import type { Planning } from './plan-fields.js';

/** The interface takes no more units in one visit. */
const MOST = 50;

interface RowsProps {
  /** Keys of the lines, in their order. */
  readonly rows: readonly string[];
  readonly onRows: (rows: readonly string[]) => void;
  readonly models: Planning['models'];
  readonly trouble: Trouble | undefined;
}

/** The units that are delivered, one line each, with what has to be in each carton. */
export function UnitRows({ rows, onRows, models, trouble }: RowsProps): ReactNode {
  const next = useRef(1);
  const add = (): void => {
    onRows([...rows, String(next.current)]);
    next.current += 1;
  };
  return (
    <section className="sheet stack">
      <h2>Units</h2>
      {rows.map((row, at) => (
        <UnitRow
          key={row}
          row={row}
          n={at + 1}
          models={models}
          trouble={trouble}
          onTake={rows.length === 1 ? undefined : () => onRows(rows.filter((each) => each !== row))}
        />
      ))}
      {rows.length < MOST ? (
        <button type="button" onClick={add}>
          Add a unit
        </button>
      ) : null}
    </section>
  );
}

interface RowProps extends Pick<RowsProps, 'models' | 'trouble'> {
  readonly row: string;
  readonly n: number;
  readonly onTake: (() => void) | undefined;
}

function UnitRow({ row, n, models, trouble, onTake }: RowProps): ReactNode {
  const [sku, setSku] = useState('');
  return (
    <div className="stack">
      <div
        className="unitrow"
        onChange={(event) => {
          const from: unknown = event.target;
          if (from instanceof HTMLSelectElement) setSku(from.value);
        }}
      >
        <Choose
          id={`sku-${row}`}
          name={`sku-${row}`}
          label={`Model of unit ${n}`}
          none="Choose"
          options={models.map(({ sku: code, title, currency }) => [code, `${title} (${code}, ${currency})`] as const)}
          trouble={trouble}
        />
        <TextLine
          id={`serial-${row}`}
          name={`serial-${row}`}
          label={`Serial number of unit ${n}`}
          max={64}
          trouble={trouble}
        />
        {onTake === undefined ? null : (
          <button type="button" onClick={onTake}>
            Take unit {n} out
          </button>
        )}
      </div>
      {sku === '' ? null : <PackingList sku={sku} />}
    </div>
  );
}

/** What has to be in the carton, as the crew will count it. */
function PackingList({ sku }: { readonly sku: string }): ReactNode {
  const found = useModel(sku);
  if (found.isError && found.data === undefined)
    return <Failing trouble={found.error} again={() => void found.refetch()} />;
  if (found.data === undefined) return null;
  const parts = found.data.parts.filter(({ pieces }) => pieces > 0);
  return (
    <details>
      <summary>
        Packing list: {parts.reduce((sum, { pieces }) => sum + pieces, 0)} pieces of {parts.length} parts
      </summary>
      <ul>
        {parts.map(({ number, title, pieces }) => (
          <li key={number}>
            {pieces} × {title} <span className="quiet nums">{number}</span>
          </li>
        ))}
      </ul>
      <p className="quiet">
        Serial numbers look like <code>{found.data.serialPattern}</code>
      </p>
    </details>
  );
}
