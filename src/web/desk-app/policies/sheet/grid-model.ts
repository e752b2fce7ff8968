/** What a grid shows: columns with their type in words, and rows of texts. It knows nothing of what the texts are of. */

/** A column of a grid; the first one names its rows. */
export interface GridColumn {
  readonly id: string;
  readonly head: string;
  /** What it takes, in words. */
  readonly takes: string;
  /** Texts that a cell can be, as they are written in it; absent where the list is not closed. */
  readonly offers?: readonly string[];
  readonly part: 'name' | 'condition' | 'outcome' | 'words';
  /** What an empty cell means; absent where it means nothing. */
  readonly empty?: string;
  readonly fixed?: boolean;
}

export interface GridRow {
  /** Unique in the grid, and the same for as long as the row is. */
  readonly key: string;
  readonly texts: readonly string[];
  /** Columns that cannot be typed in here. */
  readonly fixed?: ReadonlySet<string>;
}

export interface GridModel {
  readonly label: string;
  readonly columns: readonly GridColumn[];
  readonly rows: readonly GridRow[];
  /** Which rows can change places and be taken out. */
  readonly movable: number;
}

/** A cell by its place. */
export interface CellPlace {
  readonly row: number;
  readonly column: number;
}

/** What one key does to the place of a cell; undefined where the key is none of the grid's. */
export function moved(key: string, withCtrl: boolean, at: CellPlace, grid: GridModel): CellPlace | undefined {
  const last = { row: grid.rows.length - 1, column: grid.columns.length - 1 };
  switch (key) {
    case 'ArrowUp':
      return inside({ ...at, row: withCtrl ? 0 : at.row - 1 }, last);
    case 'ArrowDown':
      return inside({ ...at, row: withCtrl ? last.row : at.row + 1 }, last);
    case 'ArrowLeft':
      return inside({ ...at, column: at.column - 1 }, last);
    case 'ArrowRight':
      return inside({ ...at, column: at.column + 1 }, last);
    case 'PageUp':
      return inside({ ...at, row: at.row - PAGE }, last);
    case 'PageDown':
      return inside({ ...at, row: at.row + PAGE }, last);
    case 'Home':
      return { row: withCtrl ? 0 : at.row, column: 0 };
    case 'End':
      return { row: withCtrl ? last.row : at.row, column: last.column };
    default:
      return undefined;
  }
}

const PAGE = 15;

/** The nearest place that there is; the first one in a grid without rows. */
export function inside(at: CellPlace, last: CellPlace): CellPlace {
  return {
    row: Math.max(0, Math.min(last.row, at.row)),
    column: Math.max(0, Math.min(last.column, at.column)),
  };
}

/** The cell after or before one, from row to row; undefined at the ends. */
export function stepped(at: CellPlace, by: 1 | -1, grid: GridModel): CellPlace | undefined {
  const width = grid.columns.length;
  const place = at.row * width + at.column + by;
  if (place < 0 || place >= grid.rows.length * width) return undefined;
  return { row: Math.floor(place / width), column: place % width };
}

/** Whether a cell cannot be typed in. */
export function isFixed(grid: GridModel, { row, column }: CellPlace): boolean {
  const [of, line] = [grid.columns[column], grid.rows[row]];
  return of === undefined || line === undefined || of.fixed === true || (line.fixed?.has(of.id) ?? false);
}
