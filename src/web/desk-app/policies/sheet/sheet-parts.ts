import type { PolicyDecision, PolicyDocument } from '../../../../policies/policies.contract.js';
import { sentenceCase } from '../../../domain/trade-words.js';
import { clockGrid, writeClock } from './clock-grid.js';
import { decisionGrid } from './decision-grid.js';
import { writeCell } from './document-edits.js';
import { factGrid, writeFact } from './fact-grid.js';
import type { CellPlace, GridModel } from './grid-model.js';
import { parameterGrid, writeParameter } from './parameter-grid.js';

/** A part of the sheet: a decision by its id behind this word, or one of the others. */
const TABLE = 'table ';
export const OTHER_PARTS = ['about', 'parameters', 'clocks', 'facts', 'examples', 'coverage', 'document'] as const;
type OtherPart = (typeof OTHER_PARTS)[number];

const OTHER_WORDS: Readonly<Record<OtherPart, string>> = {
  about: 'About',
  parameters: 'Parameters',
  clocks: 'Clocks',
  facts: 'Facts',
  examples: 'Examples',
  coverage: 'Coverage',
  document: 'All as text',
};

export function partOfDecision(id: string): string {
  return `${TABLE}${id}`;
}

/** The decision that a part shows. */
export function decisionOf(document: PolicyDocument, part: string): PolicyDecision | undefined {
  return part.startsWith(TABLE) ? document.decisions.find(({ id }) => id === part.slice(TABLE.length)) : undefined;
}

/** The parts of a document in the order in which they are read, with their names. */
export function partsOf(document: PolicyDocument): readonly (readonly [part: string, says: string])[] {
  return [
    ...document.decisions.map(({ id }) => [partOfDecision(id), sentenceCase(id)] as const),
    ...OTHER_PARTS.map((part) => [part, OTHER_WORDS[part]] as const),
  ];
}

/** The part that an address names; the first one where it names none that there is. */
export function partAt(document: PolicyDocument, wanted: string | undefined): string {
  const parts = partsOf(document).map(([part]) => part);
  return wanted !== undefined && parts.includes(wanted) ? wanted : (parts[0] ?? 'about');
}

/** The grid of a part; undefined where it is none. */
export function gridOf(document: PolicyDocument, part: string): GridModel | undefined {
  if (part === 'parameters') return parameterGrid(document);
  if (part === 'clocks') return clockGrid(document);
  if (part === 'facts') return factGrid(document);
  const decision = decisionOf(document, part);
  return decision?.table === undefined ? undefined : decisionGrid(document, decision);
}

/** The document with one cell of a part's grid written. */
export function documentWith(document: PolicyDocument, part: string, at: CellPlace, text: string): PolicyDocument {
  const decision = decisionOf(document, part);
  const column = gridOf(document, part)?.columns[at.column];
  if (column === undefined) return document;
  if (part === 'parameters') return writeParameter(document, at.row, column.id, text);
  if (part === 'clocks') return writeClock(document, at.row, column.id, text);
  if (part === 'facts') return writeFact(document, at.row, column.id, text);
  return decision === undefined ? document : writeCell(document, decision.id, at.row, column, text);
}
