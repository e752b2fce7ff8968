import type { ReactNode } from 'react';
import type { GridActs, GridHandle } from './grid.js';
import type { GridModel } from './grid-model.js';

interface ToolsProps {
  readonly model: GridModel;
  readonly acts: GridActs;
  readonly grid: { readonly current: GridHandle | null };
}

/** The keys of a grid as buttons, for the row that was looked at last. */
export function GridTools({ model, acts, grid }: ToolsProps): ReactNode {
  const { move, add, remove } = acts;
  if (add === undefined && remove === undefined) return null;
  const here = (): { readonly row: number; readonly column: number } => grid.current?.at() ?? { row: 0, column: 0 };
  const shift = (by: 1 | -1) => (): void => {
    const { row, column } = here();
    if (row >= model.movable || row + by < 0 || row + by >= model.movable) return;
    move?.(row, row + by);
    grid.current?.go({ row: row + by, column });
  };
  return (
    <div className="row grid-tools">
      {add === undefined ? null : (
        <button
          type="button"
          onClick={() => grid.current?.go({ row: add(model.rows.length === 0 ? -1 : here().row), column: 1 })}
        >
          Row below <kbd>Ctrl Enter</kbd>
        </button>
      )}
      {move === undefined ? null : (
        <>
          <button type="button" onClick={shift(-1)}>
            Row up <kbd>Alt ↑</kbd>
          </button>
          <button type="button" onClick={shift(1)}>
            Row down <kbd>Alt ↓</kbd>
          </button>
        </>
      )}
      {remove === undefined || model.rows.length === 0 ? null : (
        <button
          type="button"
          className="no"
          onClick={() => {
            const { row, column } = here();
            remove(row);
            grid.current?.go({ row: Math.min(row, model.rows.length - 2), column });
          }}
        >
          Take the row out <kbd>Ctrl Delete</kbd>
        </button>
      )}
    </div>
  );
}
