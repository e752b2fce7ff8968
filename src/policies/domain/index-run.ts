import { hasBit, lowestBit } from './bits.js';
import type { CompiledTable, Decided } from './compiled-table.js';
import { ABSENT, type FactSheet } from './fact-sheet.js';
import { EXACT_DIGITS, isLong, type OrderedLine } from './ordered-line.js';
import type { Lookup } from './run-expression.js';
import { stopsAtFirst, type Candidate } from './run-table.js';
import { settle } from './settle-table.js';
import type { IndexedColumn, TableIndex } from './table-index.js';
import { Day, Decimal, readNumber, Unknown, type Known, type Value } from './values.js';

/** What an index reads to run: facts and earlier decisions by place, and anything by name. */
export interface IndexInput {
  readonly sheet: FactSheet;
  readonly decided: readonly (Decided | undefined)[];
  readonly lookup: Lookup;
}

const NO_RULE: Decided = { kind: 'no rule' };

/** Runs a table by its index: the rows of the values of all columns, one word after the other, joined by "and". */
export class IndexRunner {
  private readonly table: CompiledTable;
  private readonly stops: boolean;
  private readonly may: Int32Array;
  private readonly must: Int32Array;
  /** Start of the row of each column's value; −1 until it is asked. A table never runs inside itself, so these serve every run. */
  private readonly rows: Int32Array;
  private readonly masks: Int32Array;
  /** Start of the row of each column for a value that is not known. */
  private readonly unknownRows: Int32Array;
  private readonly bySingleRule: readonly Decided[];
  private readonly withoutRule: Decided;
  private firstSure = 0;

  constructor(readonly index: TableIndex) {
    const { table, words } = index;
    this.table = table;
    this.stops = stopsAtFirst(table);
    this.may = new Int32Array(words);
    this.must = new Int32Array(words);
    this.rows = new Int32Array(index.columns.length);
    this.masks = new Int32Array(index.columns.length * words);
    for (const [place, { mask }] of index.columns.entries()) this.masks.set(mask, place * words);
    this.unknownRows = Int32Array.from(index.columns, ({ base, unknownRow }) => base + unknownRow * words);
    this.bySingleRule = table.precedence.map((place) => ({
      kind: 'decided',
      outcomes: table.rules[place]!.outcomes,
      rules: [place],
    }));
    this.withoutRule = table.otherwise ? { kind: 'decided', outcomes: table.otherwise.outcomes, rules: [] } : NO_RULE;
  }

  /** @throws PolicyConflict */
  decide(input: IndexInput): Decided {
    const words = this.stops ? this.matchStrongest(input) : this.matchAll(input);
    const { hit, hasExceptions } = this.table;
    if (this.stops) return this.strongest(words) ?? settle(this.table, this.candidates(words, input));
    if (hit === 'unique' && !hasExceptions) {
      const only = this.onlyRank(words);
      if (only === -1) return this.withoutRule;
      if (only >= 0) return this.bySingleRule[only]!;
    }
    return settle(this.table, this.candidates(words, input));
  }

  /** Every rule that holds or may hold, strongest first. */
  allCandidates(input: IndexInput): Candidate[] {
    return this.candidates(this.matchAll(input), input);
  }

  /** Rank of the strongest rule that surely holds; the number of rules where none does. */
  firstSureRank(input: IndexInput): number {
    this.matchStrongest(input);
    return this.firstSure;
  }

  /**
   * Finds what may and what must hold, word by word, up to the first word with a rule that must.
   * @returns how many words have been worked out
   */
  private matchStrongest(input: IndexInput): number {
    const { words, bits, columns, full } = this.index;
    const { rows, masks, unknownRows } = this;
    rows.fill(-1);
    for (let word = 0; word < words; word += 1) {
      let may = full[word]!;
      let must = may;
      for (let place = 0; place < columns.length && may !== 0; place += 1) {
        if ((may & masks[place * words + word]!) === 0) continue;
        let row = rows[place]!;
        if (row === -1) row = rows[place] = this.startOfRow(columns[place]!, input);
        const here = bits[row + word]!;
        may &= here;
        must &= row === unknownRows[place] ? bits[row + words + word]! : here;
      }
      this.may[word] = may;
      this.must[word] = must & may;
      this.tryOpen(word, input);
      if (this.must[word] === 0) continue;
      this.firstSure = word * 32 + lowestBit(this.must[word]!);
      return word + 1;
    }
    this.firstSure = this.table.rules.length;
    return words;
  }

  /** Finds what may and what must hold, column by column. @returns how many words there are */
  private matchAll(input: IndexInput): number {
    const { words, bits, columns, full } = this.index;
    const { may, must, unknownRows } = this;
    may.set(full);
    let unsure = false;
    for (let place = 0; place < columns.length; place += 1) {
      const row = this.startOfRow(columns[place]!, input);
      const isUnknown = row === unknownRows[place];
      if (isUnknown && !unsure) must.set(may);
      unsure ||= isUnknown;
      if (unsure) {
        const sure = isUnknown ? row + words : row;
        for (let word = 0; word < words; word += 1) must[word]! &= bits[sure + word]!;
      }
      for (let word = 0; word < words; word += 1) may[word]! &= bits[row + word]!;
    }
    if (!unsure) must.set(may);
    for (let word = 0; word < words; word += 1) this.tryOpen(word, input);
    return words;
  }

  /** Runs the cells that cannot be cut, of rules that everything else lets through. */
  private tryOpen(word: number, input: IndexInput): void {
    const { open, openCells, table } = this.index;
    const { may, must } = this;
    for (let rest = may[word]! & open[word]!; rest !== 0; rest &= rest - 1) {
      const bit = lowestBit(rest);
      for (const { run, place } of openCells.get(word * 32 + bit) ?? []) {
        const holds = run(table.columns[place]!.run(input.lookup), input.lookup);
        if (holds === true) continue;
        must[word]! &= ~(1 << bit);
        if (holds !== false) continue;
        may[word]! &= ~(1 << bit);
        break;
      }
    }
  }

  /** The strongest rule, where it surely holds, or nothing where none may; undefined where it takes a closer look. */
  private strongest(words: number): Decided | undefined {
    for (let word = 0; word < words; word += 1) {
      const may = this.may[word]!;
      if (may === 0) continue;
      const bit = lowestBit(may);
      return (this.must[word]! & (1 << bit)) === 0 ? undefined : this.bySingleRule[word * 32 + bit];
    }
    return this.withoutRule;
  }

  /** Rank of the only rule that may hold, where it surely does; −1 where none may, −2 where it takes a closer look. */
  private onlyRank(words: number): number {
    let only = -1;
    for (let word = 0; word < words; word += 1) {
      const may = this.may[word]!;
      if (may === 0) continue;
      if (only !== -1 || (may & (may - 1)) !== 0 || this.must[word] !== may) return -2;
      only = word * 32 + lowestBit(may);
    }
    return only;
  }

  private candidates(words: number, input: IndexInput): Candidate[] {
    const found: Candidate[] = [];
    for (let word = 0; word < words; word += 1) {
      for (let rest = this.may[word]!; rest !== 0; rest &= rest - 1) {
        const bit = lowestBit(rest);
        const rank = word * 32 + bit;
        const place = this.table.precedence[rank]!;
        const sure = (this.must[word]! & (1 << bit)) !== 0;
        found.push({ place, unknown: sure ? undefined : this.unknownOf(place, input) });
        if (sure && this.stops && rank === this.firstSure) return found;
      }
    }
    return found;
  }

  private unknownOf(place: number, input: IndexInput): Unknown | undefined {
    let unknown: Unknown | undefined;
    for (const cell of this.table.rules[place]!.cells) {
      const holds = cell.run(this.table.columns[cell.place]!.run(input.lookup), input.lookup);
      if (!(holds instanceof Unknown) || this.foregone(place, cell.place) !== undefined) continue;
      unknown = unknown ? unknown.and(holds) : holds;
    }
    return unknown;
  }

  /** What the atoms say of a cell over a fact that is not known; undefined where it depends on the fact, or there are none. */
  readonly foregone = (rule: number, place: number): boolean | undefined => {
    const column = this.index.columns.find((each) => each.place === place);
    if (column?.source.kind !== 'fact') return undefined;
    const rank = this.index.ranks[rule]!;
    if (!hasBit(column.mask, rank)) return undefined;
    const { words, bits } = this.index;
    const start = column.base + column.unknownRow * words;
    if (!hasBit(bits.subarray(start, start + words), rank)) return false;
    return hasBit(bits.subarray(start + words, start + words * 2), rank) ? true : undefined;
  };

  private startOfRow(column: IndexedColumn, input: IndexInput): number {
    return column.base + this.rowOf(column, input) * this.index.words;
  }

  private rowOf(column: IndexedColumn, input: IndexInput): number {
    const { source } = column;
    if (source.kind === 'outcome') {
      const result = input.decided[source.place];
      if (result?.kind !== 'decided') return column.unknownRow;
      return rowOfValue(column, (result.outcomes.known.get(source.name) as Known | undefined) ?? null);
    }
    if (source.kind === 'computed') return rowOfValue(column, this.table.columns[column.place]!.run(input.lookup));
    const code = input.sheet.codes[source.place]!;
    if (code !== code) return column.unknownRow;
    if (code === ABSENT) return column.absentRow;
    if (column.byCode) return code;
    const { line } = column;
    const raw = input.sheet.raw[source.place];
    if (line) return rowOfCode(line, code, raw);
    return column.valueRows?.get(raw as string) ?? column.othersRow;
  }
}

/** Longest text of a decimal that a double tells from every other: fifteen digits, the point and the sign. */
const SHORT_TEXT = EXACT_DIGITS + 2;

function rowOfCode(line: OrderedLine, code: number, raw: unknown): number {
  const row = line.placeOfKey(code);
  if ((row & 1) === 0) return row;
  const mayDiffer = line.hasLongEnds || (typeof raw === 'string' && raw.length > SHORT_TEXT - 1);
  const number = mayDiffer ? readNumber(raw) : undefined;
  return number && (line.hasLongEnds || isLong(number)) ? line.placeOf(number) : row;
}

function rowOfValue(column: IndexedColumn, value: Value): number {
  if (value instanceof Unknown) return column.unknownRow;
  if (value === null) return column.absentRow;
  if (!column.line) return column.valueRows?.get(value) ?? column.othersRow;
  return value instanceof Decimal || value instanceof Day ? column.line.placeOf(value) : column.absentRow;
}
