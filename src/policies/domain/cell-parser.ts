import { Parser, type Reach } from './parser.js';
import { SyntaxFault, type Cell, type CellTest } from './syntax.js';

/** Parses a cell of a decision table. @throws SyntaxFault */
export function parseCell(text: string, reach: Reach): Cell {
  if (text.trim() === '-') return { kind: 'any' };
  if (text.trim() === '') {
    throw new SyntaxFault(0, text.length, 'The cell is empty; write - or leave the column out where anything matches.');
  }
  return new CellParser(text, reach).cell();
}

class CellParser extends Parser {
  cell(): Cell {
    const negated = this.isWord('not') && this.isSign('(', 1);
    if (negated) this.at += 2;
    const tests = this.alternatives();
    if (negated) {
      this.expectSign(')', 'not(…) must stand around the whole cell, with one closing bracket at its end.');
    }
    this.refuseMisread(tests);
    this.expectEnd();
    return { kind: 'tests', negated, tests };
  }

  /** Forms that look right to a reader and are not what they seem. */
  private refuseMisread(tests: readonly CellTest[]): void {
    if (this.dialect === 'wide') return;
    const list = tests.find((test) => test.kind === 'equals' && test.value.kind === 'list');
    if (list) {
      const detail =
        'An interval has two ends with .. between them, like [1..5]. Alternatives stand side by side without brackets, like 1, 5.';
      throw new SyntaxFault(list.from, list.to, detail);
    }
    if ((this.isWord('and') || this.isWord('or')) && tests.at(-1)?.kind === 'compare') {
      const { from, to } = this.now;
      const detail =
        'Both at once is an interval, like (3..5), or a condition like "? > 3 and ? < 5"; one or the other is written with a comma.';
      throw new SyntaxFault(from, to, detail);
    }
  }
}
