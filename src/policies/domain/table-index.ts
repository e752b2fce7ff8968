import { emptyBits, fullBits, hasBit, isEmptyBits, setBit, type Bits } from './bits.js';
import type { CompiledCell, CompiledTable } from './compiled-table.js';
import type { CutColumn } from './cut-column.js';
import type { OrderedLine } from './ordered-line.js';
import type { Lookup } from './run-expression.js';
import type { Known } from './values.js';

/** Where a column takes its value from. */
export type ColumnSource =
  /** Place of the fact on the sheet. */
  | { readonly kind: 'fact'; readonly place: number }
  /** Place of the earlier decision, and name of its outcome. */
  | { readonly kind: 'outcome'; readonly place: number; readonly name: string }
  | { readonly kind: 'computed' };

/** A column as rows of bits, one row for each place of its line or value of its set: bit `r` for the rule of rank `r`. */
export interface IndexedColumn {
  readonly place: number;
  readonly source: ColumnSource;
  readonly line?: OrderedLine;
  /** Row of a value of a set; values that are not in it have the row of `others`. */
  readonly valueRows?: ReadonlyMap<Known, number>;
  /** Whether the code of the fact is the number of the row. */
  readonly byCode: boolean;
  readonly absentRow: number;
  /** Row of what may hold while the value is not known; the next row has what holds whatever it is. */
  readonly unknownRow: number;
  /** Row without any rule that has a cell here, for a value outside the set. */
  readonly othersRow: number;
  /** Start of the first row in `bits`. */
  readonly base: number;
  /** Rules that have a cell here. */
  readonly mask: Bits;
}

/** A table on one day as bits. */
export interface TableIndex {
  readonly table: CompiledTable;
  /** Words of a row. */
  readonly words: number;
  readonly bits: Int32Array;
  /** In the order in which they are looked up. */
  readonly columns: readonly IndexedColumn[];
  /** Rules with cells that cannot be cut; their rows hold everywhere, and the cells run as they are. */
  readonly open: Bits;
  /** By rank. */
  readonly openCells: ReadonlyMap<number, readonly CompiledCell[]>;
  /** Rank of each rule, 0 the strongest. */
  readonly ranks: readonly number[];
  readonly full: Bits;
}

/**
 * Lays a table out as bits.
 * @param columns its columns cut into atoms on a day
 * @param parameters values of parameters on that day
 */
export function indexTable(
  table: CompiledTable,
  columns: readonly CutColumn[],
  sourceOf: (place: number) => ColumnSource,
  parameters: Lookup,
): TableIndex {
  const words = emptyBits(table.rules.length).length;
  const ranks: number[] = [];
  for (const [rank, place] of table.precedence.entries()) ranks[place] = rank;
  const openCells = openCellsOf(table, columns, ranks);
  const open = emptyBits(table.rules.length);
  for (const rank of openCells.keys()) setBit(open, rank);
  const cells: { rank: number; cell: CompiledCell }[][] = columns.map(() => []);
  for (const [place, rule] of table.rules.entries()) {
    for (const cell of rule.cells) {
      if (columns[cell.place]!.accepts.get(cell.text)) cells[cell.place]!.push({ rank: ranks[place]!, cell });
    }
  }
  const rows = new Rows(table.rules.length, words);
  const indexed = columns.flatMap((column, place) => {
    if (cells[place]!.length === 0) return [];
    return [new ColumnRows({ column, place, source: sourceOf(place), cells: cells[place]! }, rows, parameters).lay()];
  });
  const full = fullBits(table.rules.length);
  const inTurn = indexed.toSorted((a, b) => effort(a) - effort(b));
  return { table, words, bits: rows.joined(), columns: inTurn, open, openCells, ranks, full };
}

/** What is quick to look up comes first: it often leaves no rule that asks for the rest. */
function effort({ source, byCode }: IndexedColumn): number {
  if (source.kind === 'fact') return byCode ? 0 : 1;
  return source.kind === 'outcome' ? 2 : 3;
}

function openCellsOf(
  table: CompiledTable,
  columns: readonly CutColumn[],
  ranks: readonly number[],
): Map<number, CompiledCell[]> {
  const found = new Map<number, CompiledCell[]>();
  for (const [place, { cells }] of table.rules.entries()) {
    const open = cells.filter((cell) => !columns[cell.place]!.accepts.get(cell.text));
    if (open.length > 0) found.set(ranks[place]!, open);
  }
  return found;
}

/** Rows of bits, one after the other. */
class Rows {
  private readonly rows: Bits[] = [];

  constructor(
    readonly rules: number,
    readonly words: number,
  ) {}

  get count(): number {
    return this.rows.length;
  }

  add(row: Bits): void {
    this.rows.push(row);
  }

  joined(): Int32Array {
    const bits = new Int32Array(this.rows.length * this.words);
    for (const [place, row] of this.rows.entries()) bits.set(row, place * this.words);
    return bits;
  }
}

interface ColumnCells {
  readonly column: CutColumn;
  readonly place: number;
  readonly source: ColumnSource;
  readonly cells: readonly { readonly rank: number; readonly cell: CompiledCell }[];
}

class ColumnRows {
  /** Rules without a cell here, and rules whose cell runs as it is: every row has them. */
  private readonly indifferent: Bits;
  private readonly mask: Bits;

  constructor(
    private readonly of: ColumnCells,
    private readonly rows: Rows,
    private readonly parameters: Lookup,
  ) {
    this.mask = emptyBits(rows.rules);
    for (const { rank } of of.cells) setBit(this.mask, rank);
    this.indifferent = fullBits(rows.rules).map((word, at) => word & ~this.mask[at]!);
  }

  lay(): IndexedColumn {
    const { column, place, source } = this.of;
    const { line } = column;
    const base = this.rows.count * this.rows.words;
    const byAtom = this.rowsOfAtoms();
    const values = line ? Array.from(line.atomAt, (atom) => byAtom[atom] ?? this.indifferent) : byAtom;
    for (const row of values) this.rows.add(row);
    this.rows.add(
      column.absentAt >= 0 ? byAtom[column.absentAt]! : this.rowOf(({ run }) => run(null, this.parameters) === true),
    );
    this.addUnknown(source.kind === 'fact');
    this.rows.add(this.indifferent);
    const absentRow = values.length;
    const { atoms } = column.axis;
    const valueRows = new Map(atoms.flatMap((atom, at) => (atom.kind === 'point' ? [[atom.value, at] as const] : [])));
    const others = line ? -1 : atoms.findIndex(({ kind }) => kind === 'between');
    return {
      place,
      source,
      ...(line ? { line } : { valueRows }),
      byCode: !line && others === -1,
      absentRow,
      unknownRow: absentRow + 1,
      othersRow: others === -1 ? absentRow + 3 : others,
      base,
      mask: this.mask,
    };
  }

  private rowsOfAtoms(): Bits[] {
    const rows = this.of.column.axis.atoms.map(() => this.indifferent.slice());
    for (const { rank, cell } of this.of.cells) {
      const accepted = this.of.column.accepts.get(cell.text)!;
      for (let atom = 0; atom < rows.length; atom += 1) if (hasBit(accepted, atom)) setBit(rows[atom]!, rank);
    }
    return rows;
  }

  private rowOf(holds: (cell: CompiledCell) => boolean): Bits {
    const row = this.indifferent.slice();
    for (const { rank, cell } of this.of.cells) if (holds(cell)) setBit(row, rank);
    return row;
  }

  /** A fact has one of its values, whichever; anything worked out may also come to nothing, so its cells stay open. */
  private addUnknown(isFact: boolean): void {
    const accepted = (cell: CompiledCell): Bits => this.of.column.accepts.get(cell.text)!;
    const all = this.of.column.axis.atoms.length;
    this.rows.add(this.rowOf((cell) => !isFact || !isEmptyBits(accepted(cell))));
    this.rows.add(this.rowOf((cell) => isFact && isAll(accepted(cell), all)));
  }
}

function isAll(bits: Bits, size: number): boolean {
  const full = fullBits(size);
  return bits.every((word, at) => word === full[at]);
}
