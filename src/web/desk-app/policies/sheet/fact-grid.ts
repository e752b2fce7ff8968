import type { FactType, PolicyDocument } from '../../../../policies/policies.contract.js';
import type { GridColumn, GridModel } from './grid-model.js';
import { wholeOf } from './written-values.js';

const COLUMNS: readonly GridColumn[] = [
  { id: 'name', head: 'Fact', takes: 'its name; cells read it by this', part: 'name', fixed: true },
  { id: 'type', head: 'Type', takes: 'what kind of value it is', part: 'words', fixed: true },
  { id: 'values', head: 'Values', takes: 'what it can be, with commas', part: 'condition' },
  { id: 'min', head: 'At least', takes: 'a number', part: 'condition' },
  { id: 'max', head: 'At most', takes: 'a number', part: 'condition' },
  {
    id: 'optional',
    head: 'May be unknown',
    takes: 'yes, or nothing',
    part: 'condition',
    offers: ['yes'],
  },
  { id: 'ask', head: 'Question', takes: 'what to ask a person when it is needed', part: 'words' },
];

/** The facts that a policy reads. */
export function factGrid(document: PolicyDocument): GridModel {
  const rows = Object.entries(document.facts).map(([name, type]) => ({
    key: name,
    texts: [name, type.type, ...ends(type), type.optional === true ? 'yes' : '', type.ask ?? ''],
    fixed: fixedOf(type),
  }));
  return { label: 'Facts that the policy reads', columns: COLUMNS, rows, movable: 0 };
}

function ends(type: FactType): readonly string[] {
  if (type.type === 'enum') return [type.values.join(', '), '', ''];
  if (type.type !== 'integer' && type.type !== 'decimal') return ['', '', ''];
  return ['', String(type.min ?? ''), String(type.max ?? '')];
}

function fixedOf({ type }: FactType): ReadonlySet<string> {
  if (type === 'enum') return new Set(['min', 'max']);
  return new Set(type === 'integer' || type === 'decimal' ? ['values'] : ['values', 'min', 'max']);
}

/** Row of a fact; undefined where there is no such fact. */
export function rowOfFact(document: PolicyDocument, name: string): number | undefined {
  const row = Object.keys(document.facts).indexOf(name);
  return row < 0 ? undefined : row;
}

/** Writes a cell of the grid above. */
export function writeFact(document: PolicyDocument, row: number, column: string, text: string): PolicyDocument {
  const [name, type] = Object.entries(document.facts)[row] ?? [];
  if (name === undefined || type === undefined) return document;
  return { ...document, facts: { ...document.facts, [name]: written(type, column, text.trim()) } };
}

function written(type: FactType, column: string, text: string): FactType {
  if (column === 'values' && type.type === 'enum') {
    const values = text.split(',').map((value) => value.trim());
    return { ...type, values: values.filter((value) => value !== '') };
  }
  const rest = Object.fromEntries(Object.entries(type).filter(([each]) => each !== column));
  // The type says which members there are; what is written over is one of them.
  return { ...rest, ...memberOf(type, column, text) } as FactType;
}

function memberOf({ type }: FactType, column: string, text: string): object {
  if (text === '') return {};
  if (column === 'optional') return /^(yes|true)$/i.test(text) ? { optional: true } : {};
  if (column === 'min' || column === 'max') return { [column]: type === 'integer' ? (wholeOf(text) ?? text) : text };
  return { [column]: text };
}
