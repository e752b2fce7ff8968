import {
  useCallback,
  useEffect,
  useImperativeHandle,
  useLayoutEffect,
  useRef,
  useState,
  type ClipboardEvent,
  type FocusEvent,
  type KeyboardEvent,
  type MouseEvent,
  type PointerEvent,
  type ReactNode,
  type Ref,
} from 'react';
import type { Editing, Wrong } from './cell-editor.js';
import type { RowConcern } from './fault-places.js';
import { inside, isFixed, moved, stepped, type CellPlace, type GridModel } from './grid-model.js';
import { Row } from './grid-row.js';

/** What the page around a grid can ask of it. */
export interface GridHandle {
  /** Goes to a cell and takes the focus there. */
  readonly go: (at: CellPlace) => void;
  readonly at: () => CellPlace;
}

/** What can be done to a grid; all of it is left out where nobody may write. */
export interface GridActs {
  readonly write: (at: CellPlace, text: string) => void;
  /** Several cells at once, from a place to the right and down. */
  readonly writeBlock: (at: CellPlace, texts: readonly (readonly string[])[]) => void;
  readonly check: (at: CellPlace, text: string) => Promise<Wrong | undefined>;
  /** A row takes another place. Absent: rows stay where they are. */
  readonly move?: ((from: number, to: number) => void) | undefined;
  /** A row below. @returns its place */
  readonly add?: ((below: number) => number) | undefined;
  readonly remove?: ((row: number) => void) | undefined;
  /** A cell is being typed in, or none is any more. */
  readonly typing: (is: boolean) => void;
}

interface GridProps {
  readonly model: GridModel;
  readonly concerns: ReadonlyMap<number, RowConcern>;
  readonly acts?: GridActs | undefined;
  readonly handle: Ref<GridHandle>;
  readonly onAt?: (at: CellPlace) => void;
}

/**
 * A table as a grid: one stop for Tab, arrows move, typing or Enter writes, Escape puts back. Keys are those of the grid pattern of the
 * ARIA Authoring Practices Guide (W3C), and those named in the list of keys.
 */
export function Grid(props: GridProps): ReactNode {
  const { model, concerns, acts, handle, onAt } = props;
  const [wanted, setAt] = useState<CellPlace>({ row: 0, column: 0 });
  const [editing, setEditing] = useState<Editing>();
  const [turn, setTurn] = useState(0);
  const table = useRef<HTMLTableElement>(null);
  const again = useRef(false);
  const at = inside(wanted, { row: model.rows.length - 1, column: model.columns.length - 1 });
  const latest = useRef({ at, model, acts });
  latest.current = { at, model, acts };

  const isTyping = editing !== undefined;
  useEffect(() => {
    if (!isTyping) return undefined;
    const of = latest.current.acts;
    of?.typing(true);
    return () => of?.typing(false);
  }, [isTyping]);
  const go = useCallback(
    (to: CellPlace): void => {
      setEditing(undefined);
      setAt(to);
      setTurn((n) => n + 1);
      onAt?.(to);
    },
    [onAt],
  );
  useImperativeHandle(handle, () => ({ go, at: () => latest.current.at }), [go]);
  // In the same turn as the key: waiting a frame would take the focus back from somebody quick.
  useLayoutEffect(() => {
    if (turn === 0) return;
    const { row, column } = latest.current.at;
    table.current?.querySelector<HTMLElement>(`[data-row="${row}"] > [data-column="${column}"]`)?.focus();
  }, [turn]);

  const open = (text: string, typed: boolean): void => {
    if (acts === undefined || isFixed(model, at)) return;
    setEditing({
      text,
      typed,
      check: (written) => acts.check(at, written),
      onPutBack: () => go(at),
      onKeep: (written, then) => {
        const { acts: now, model: shown } = latest.current;
        now?.write(at, written);
        // The focus has gone elsewhere already, and stays there.
        if (then === 'leave') return setEditing(undefined);
        if (then === 'stay') return go(at);
        if (then === 'down') return go({ ...at, row: at.row + 1 });
        go(stepped(at, then === 'next' ? 1 : -1, shown) ?? at);
      },
    });
  };
  const press = (event: KeyboardEvent): void => {
    if (editing !== undefined) return;
    const done = rowKey(event, at, model, acts, go) || cellKey(event, { at, model, acts, go, open });
    if (done) event.preventDefault();
  };
  const click = (event: MouseEvent): void => {
    const place = placeOf(event.target);
    if (editing !== undefined || place === undefined) return;
    if (again.current) open(textAt(model, at), false);
    else go(place);
  };
  // Before the press has moved the focus: a cell that had it is written in, another one is gone to.
  const down = (event: PointerEvent): void => {
    const place = placeOf(event.target);
    const focused = table.current?.contains(globalThis.document.activeElement) ?? false;
    again.current = focused && place !== undefined && isSamePlace(place, at);
  };
  // Readers of screens bring the focus to a cell without any key of the grid.
  const arrive = (event: FocusEvent): void => {
    const place = placeOf(event.target);
    if (editing !== undefined || place === undefined || isSamePlace(place, at)) return;
    setAt(place);
    onAt?.(place);
  };
  return (
    <div className="grid-scroll">
      <table
        ref={table}
        role="grid"
        className="policy-grid"
        style={{ width: `${model.columns.reduce((sum, { part }) => sum + WIDTHS[part], 0)}rem` }}
        aria-label={model.label}
        aria-rowcount={model.rows.length + 1}
        aria-colcount={model.columns.length}
        {...(acts === undefined ? { 'aria-readonly': true } : {})}
        onKeyDown={press}
        onPointerDown={down}
        onClick={click}
        onFocus={arrive}
        onCopy={(event) => copy(event, editing === undefined ? textAt(model, at) : undefined)}
        onPaste={(event) => paste(event, editing === undefined ? (texts) => acts?.writeBlock(at, texts) : undefined)}
      >
        <colgroup>
          {model.columns.map(({ id, part }) => (
            <col key={id} style={{ width: `${WIDTHS[part]}rem` }} />
          ))}
        </colgroup>
        <thead>
          <tr aria-rowindex={1}>
            {model.columns.map(({ id, head, takes, part }, column) => (
              <th
                key={id}
                scope="col"
                role="columnheader"
                aria-colindex={column + 1}
                className={`is-${part}`}
                title={takes}
              >
                <span className="head-name">{head}</span>
                <span className="head-takes">{takes}</span>
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {model.rows.map((row, place) => (
            <Row
              key={row.key}
              columns={model.columns}
              row={row}
              place={place}
              here={place === at.row ? at.column : undefined}
              editing={place === at.row ? editing : undefined}
              concern={concerns.get(place)}
            />
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** Widths of columns, in rem; with all of them given, a long table is laid out without looking into its cells. */
const WIDTHS: Readonly<Record<GridModel['columns'][number]['part'], number>> = {
  name: 8.5,
  condition: 8.5,
  outcome: 8,
  words: 15,
};

/** The place of the cell that an event was in. */
function placeOf(target: EventTarget): CellPlace | undefined {
  const cell = target instanceof Element ? target.closest<HTMLElement>('[data-column]') : null;
  const row = cell?.closest<HTMLElement>('[data-row]');
  return cell && row ? { row: Number(row.dataset['row']), column: Number(cell.dataset['column']) } : undefined;
}

function isSamePlace(a: CellPlace, b: CellPlace): boolean {
  return a.row === b.row && a.column === b.column;
}

function textAt(model: GridModel, { row, column }: CellPlace): string {
  return model.rows[row]?.texts[column] ?? '';
}

/** Keys that act on a whole row. @returns whether the key was one of them */
function rowKey(
  { key, altKey, ctrlKey, metaKey }: KeyboardEvent,
  at: CellPlace,
  model: GridModel,
  acts: GridActs | undefined,
  go: (at: CellPlace) => void,
): boolean {
  if (acts === undefined) return false;
  const ctrl = ctrlKey || metaKey;
  if (altKey && (key === 'ArrowUp' || key === 'ArrowDown')) {
    const to = at.row + (key === 'ArrowUp' ? -1 : 1);
    if (acts.move !== undefined && at.row < model.movable && to >= 0 && to < model.movable) {
      acts.move(at.row, to);
      go({ ...at, row: to });
    }
    return true;
  }
  if (ctrl && key === 'Enter' && acts.add !== undefined) {
    go({ row: acts.add(at.row), column: 1 });
    return true;
  }
  if (ctrl && (key === 'Delete' || key === 'Backspace') && acts.remove !== undefined) {
    acts.remove(at.row);
    go({ ...at, row: Math.min(at.row, model.rows.length - 2) });
    return true;
  }
  return false;
}

interface CellKeyWays {
  readonly at: CellPlace;
  readonly model: GridModel;
  readonly acts: GridActs | undefined;
  readonly go: (at: CellPlace) => void;
  readonly open: (text: string, typed: boolean) => void;
}

/** Keys that move between cells or write in one. @returns whether the key was one of them */
function cellKey(event: KeyboardEvent, { at, model, acts, go, open }: CellKeyWays): boolean {
  const { key, altKey, ctrlKey, metaKey } = event;
  const ctrl = ctrlKey || metaKey;
  const to = altKey ? undefined : moved(key, ctrl, at, model);
  if (to !== undefined) {
    go(to);
    return true;
  }
  if (acts === undefined || altKey || ctrl) return false;
  if (key === 'Enter' || key === 'F2') open(textAt(model, at), false);
  else if (key === 'Delete' || key === 'Backspace') {
    if (!isFixed(model, at)) acts.write(at, '');
  } else if (key.length === 1) open(key, true);
  else return false;
  return true;
}

function copy(event: ClipboardEvent, text: string | undefined): void {
  if (text === undefined || String(document.getSelection()) !== '') return;
  event.clipboardData.setData('text/plain', text);
  event.preventDefault();
}

/** Cells as spreadsheets put them on the clipboard: Tab between them, a line for each row. */
function paste(event: ClipboardEvent, write: ((texts: readonly (readonly string[])[]) => void) | undefined): void {
  if (write === undefined) return;
  const text = event.clipboardData.getData('text/plain').replace(/\r?\n$/, '');
  write(text.split(/\r?\n/).map((line) => line.split('\t')));
  event.preventDefault();
}
