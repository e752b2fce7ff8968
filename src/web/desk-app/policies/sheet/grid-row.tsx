import { memo, type ReactNode } from 'react';
import type { Shape, Tone } from '../../../domain/state-marks.js';
import { ShapeOnly } from '../../parts/mark.js';
import { CellEditor, type Editing } from './cell-editor.js';
import type { RowConcern, Weight } from './fault-places.js';
import type { GridColumn, GridRow } from './grid-model.js';

/** How much a concern weighs, as a shape, a tone and a word. */
export const WEIGHT_MARKS: Readonly<
  Record<Weight, { readonly shape: Shape; readonly tone: Tone; readonly says: string }>
> = {
  unread: { shape: 'cross', tone: 'bad', says: 'Cannot be read' },
  error: { shape: 'triangle', tone: 'bad', says: 'Mistake' },
  warning: { shape: 'half', tone: 'warn', says: 'Look at this' },
  information: { shape: 'ring', tone: 'info', says: 'Worth knowing' },
};

interface RowProps {
  readonly columns: readonly GridColumn[];
  readonly row: GridRow;
  /** Place among the rows, from 0. */
  readonly place: number;
  /** Column of the cell that has the grid's place in the order of Tab; absent in all other rows. */
  readonly here: number | undefined;
  /** What is being typed there. */
  readonly editing: Editing | undefined;
  readonly concern: RowConcern | undefined;
}

/** One row of a grid; drawn again only when something of it changes. */
export const Row = memo(function Row({ columns, row, place, here, editing, concern }: RowProps): ReactNode {
  return (
    <tr
      aria-rowindex={place + 2}
      data-row={place}
      className={concern === undefined ? undefined : `has ${concern.weight}`}
    >
      {columns.map((column, at) => (
        <Cell
          key={column.id}
          column={column}
          at={at}
          text={row.texts[at] ?? ''}
          fixed={column.fixed === true || (row.fixed?.has(column.id) ?? false)}
          here={here === at}
          editing={here === at ? editing : undefined}
          label={`${column.head}, ${row.texts[0] ?? ''}`}
          unread={concern?.unread.includes(at) ?? false}
          weight={at === 0 ? concern?.weight : undefined}
        />
      ))}
    </tr>
  );
});

interface CellProps {
  readonly column: GridColumn;
  readonly at: number;
  readonly text: string;
  readonly fixed: boolean;
  readonly here: boolean;
  readonly editing: Editing | undefined;
  readonly label: string;
  readonly unread: boolean;
  readonly weight: Weight | undefined;
}

const Cell = memo(function Cell(props: CellProps): ReactNode {
  const { column, at, text, fixed, here, editing, label, unread, weight } = props;
  const common = {
    'aria-colindex': at + 1,
    'data-column': at,
    tabIndex: here && editing === undefined ? 0 : -1,
    'aria-selected': here,
    ...(unread ? { 'aria-invalid': true } : {}),
    ...(fixed ? { 'aria-readonly': true } : {}),
    className: `is-${column.part}${fixed ? ' fixed' : ''}${editing === undefined ? '' : ' typing'}`,
  };
  const inside =
    editing === undefined ? (
      <Shown column={column} text={text} unread={unread} />
    ) : (
      <CellEditor column={column} label={label} editing={editing} />
    );
  if (at > 0) {
    return (
      <td role="gridcell" {...common}>
        {inside}
      </td>
    );
  }
  return (
    <th scope="row" role="rowheader" {...common}>
      {weight === undefined ? null : <ShapeOnly {...WEIGHT_MARKS[weight]} />}
      {inside}
    </th>
  );
});

function Shown({
  column,
  text,
  unread,
}: {
  readonly column: GridColumn;
  readonly text: string;
  readonly unread: boolean;
}): ReactNode {
  if (text === '') return column.empty === undefined ? null : <span className="any">{column.empty}</span>;
  return (
    <>
      {unread ? <span className="away">Cannot be read: </span> : null}
      {text}
    </>
  );
}
