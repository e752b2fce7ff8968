import { Parser, type Reach } from './parser.js';
import { SyntaxFault, type Cell } from './syntax.js';

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
    this.expectEnd();
    return { kind: 'tests', negated, tests };
  }
}
