import type { Atom, Axis } from './atoms.js';
import { emptyBits, setBit, type Bits } from './bits.js';
import type { CompiledCell, CompiledColumn } from './compiled-table.js';
import { constantValue, endsOfCell, onlyNamesTexts, textsIn } from './constants.js';
import { OrderedLine } from './ordered-line.js';
import type { Lookup } from './run-expression.js';
import { Unknown, type Known } from './values.js';

/** A column cut into atoms, with what each of its cells accepts. */
export interface CutColumn {
  readonly axis: Axis;
  /** Where numbers and dates lie among the atoms; absent on a `set` axis. */
  readonly line?: OrderedLine;
  /** Place of the atom `absent`; −1 where null cannot come. */
  readonly absentAt: number;
  /** Accepted atoms by the cell's text; undefined where the cell cannot be cut. */
  readonly accepts: ReadonlyMap<string, Bits | undefined>;
}

/** Value that stands for every text that no cell names; long and odd, so that nobody has written it in a cell. */
const OTHER_TEXT = 'any other text';

/**
 * Cuts a column into atoms on one day. Whether a cell accepts an atom is found out by running the very closure that runs rows,
 * once for each atom, except for plain comparisons of numbers and dates, whose place on the line says it.
 * @param cells every cell of the column
 * @param parameters values of parameters on the day; Unknown for anything else
 */
export function cutColumn(column: CompiledColumn, cells: readonly CompiledCell[], parameters: Lookup): CutColumn {
  const { domain, id, text, name } = column;
  const about = { column: id, expression: text, ...(name === undefined ? {} : { name }) };
  const byText = new Map(cells.map((cell) => [cell.text, cell]));
  const absent: Atom[] = domain.nullable ? [{ kind: 'absent' }] : [];
  if (domain.kind === 'none') {
    const axis: Axis = { ...about, kind: 'set', atoms: [{ kind: 'between', example: null }] };
    return { axis, absentAt: -1, accepts: new Map(Array.from(byText.keys(), (each) => [each, undefined])) };
  }
  if (domain.kind === 'ordered') {
    const ends = new Map(Array.from(byText.values(), (cell) => [cell.text, endsOfCell(cell.cell, parameters)]));
    const line = new OrderedLine(
      domain,
      [...ends.values()].flatMap((found) => found ?? []),
    );
    const atoms = [...line.atoms, ...absent];
    const absentAt = absent.length > 0 ? atoms.length - 1 : -1;
    const accepts = new Map(
      Array.from(byText.values(), (cell) => {
        if (!ends.get(cell.text)) return [cell.text, undefined];
        return [cell.text, acceptedOnLine(cell, line, { atoms, absentAt, parameters })];
      }),
    );
    return { axis: { ...about, kind: 'ordered', atoms }, line, absentAt, accepts };
  }
  const named = domain.others ? [...new Set(cells.flatMap(({ cell }) => [...textsIn(cell)]))] : [];
  const others: Atom[] = domain.others ? [{ kind: 'between', example: otherThan(named) }] : [];
  const points = [...domain.values, ...named].map((value): Atom => ({ kind: 'point', value }));
  const atoms = [...points, ...others, ...absent];
  const accepts = new Map(
    Array.from(byText.values(), (cell) => [cell.text, acceptedInSet(cell, atoms, domain.others, parameters)]),
  );
  return { axis: { ...about, kind: 'set', atoms }, absentAt: absent.length > 0 ? atoms.length - 1 : -1, accepts };
}

function otherThan(named: readonly string[]): string {
  let text = OTHER_TEXT;
  while (named.includes(text)) text += ' still';
  return text;
}

function acceptedInSet(
  { cell, run }: CompiledCell,
  atoms: readonly Atom[],
  others: boolean,
  parameters: Lookup,
): Bits | undefined {
  if (others && !onlyNamesTexts(cell)) return undefined;
  return acceptedByRunning(run, atoms, parameters);
}

function acceptedByRunning(run: CompiledCell['run'], atoms: readonly Atom[], parameters: Lookup): Bits | undefined {
  const accepted = emptyBits(atoms.length);
  for (const [place, atom] of atoms.entries()) {
    const holds = run(exampleOf(atom), parameters);
    if (holds instanceof Unknown) return undefined;
    if (holds) setBit(accepted, place);
  }
  return accepted;
}

/** A value of an atom. */
export function exampleOf(atom: Atom): Known {
  if (atom.kind === 'absent') return null;
  return atom.kind === 'point' ? atom.value : atom.example;
}

interface LineOfCell {
  readonly atoms: readonly Atom[];
  readonly absentAt: number;
  readonly parameters: Lookup;
}

function acceptedOnLine({ cell, run }: CompiledCell, line: OrderedLine, of: LineOfCell): Bits | undefined {
  const ranges =
    cell.kind === 'tests' ? line.rangesOf(cell.tests, (part) => constantValue(part, of.parameters)) : undefined;
  if (cell.kind === 'any' || !ranges) return acceptedByRunning(run, of.atoms, of.parameters);
  const accepted = emptyBits(of.atoms.length);
  for (const [from, to] of ranges) for (let place = from; place < to; place += 1) setBit(accepted, place);
  if (cell.negated) {
    for (let word = 0; word < accepted.length; word += 1) accepted[word] = ~accepted[word]!;
    clearAbove(accepted, line.atoms.length);
  }
  if (of.absentAt >= 0 && run(null, of.parameters) === true) setBit(accepted, of.absentAt);
  return accepted;
}

function clearAbove(bits: Bits, size: number): void {
  for (let word = size >>> 5; word < bits.length; word += 1) {
    bits[word]! &= word === size >>> 5 ? (1 << (size & 31)) - 1 : 0;
  }
}
