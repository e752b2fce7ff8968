import { withoutLead, type CsvRecord } from '../domain/csv-line.js';
import type { FactType, OutcomeScalar, OutcomeValue, PolicyDecision, PolicyRule } from '../policies.contract.js';
import { ANY, columnName } from './plain-tables.js';

/** What each field of a row is, in the order of the file. */
export type CsvColumn =
  | { readonly kind: 'rule' | 'overrides' | 'because' | 'source' }
  | { readonly kind: 'when'; readonly id: string }
  | { readonly kind: 'then'; readonly id: string; readonly type: FactType };

/** A row as a rule, with what is wrong with it. */
export interface CsvRow {
  readonly rule: PolicyRule;
  readonly faults: readonly string[];
}

/** The columns of a table by its header, which may have any order and must name each of them. */
export function tableColumns(
  decision: PolicyDecision,
  header: CsvRecord,
): { readonly columns: readonly CsvColumn[]; readonly faults: readonly string[] } {
  const known = new Map<string, CsvColumn>([
    ['rule', { kind: 'rule' }],
    ...Object.entries(decision.table?.columns ?? {}).map(
      (column) => [columnName(column), { kind: 'when', id: column[0] }] as const,
    ),
    ...Object.entries(decision.gives).map(([id, type]) => [id, { kind: 'then', id, type }] as const),
    ['overrides', { kind: 'overrides' }],
    ['because', { kind: 'because' }],
    ['source', { kind: 'source' }],
  ]);
  const names = header.fields.map(withoutLead);
  while (names.at(-1) === '') names.pop();
  const faults = [
    ...names
      .filter((name) => !known.has(name))
      .map((name) => `The table of ${decision.id} has no column "${name}"; it has ${[...known.keys()].join(', ')}.`),
    ...[...known.keys()].filter((name) => !names.includes(name)).map((name) => `The column "${name}" is missing.`),
    ...names
      .filter((name, at) => names.indexOf(name) !== at)
      .map((name) => `The column "${name}" stands in the header twice.`),
  ];
  return { columns: names.flatMap((name) => known.get(name) ?? []), faults };
}

/** One row as a rule; the row `otherwise` as one of that name without conditions. */
export function ruleRow(decision: PolicyDecision, columns: readonly CsvColumn[], { fields }: CsvRecord): CsvRow {
  const faults: string[] = [];
  const when: Record<string, string> = {};
  const given: Record<string, OutcomeValue> = {};
  const id = withoutLead(fields[columns.findIndex(({ kind }) => kind === 'rule')] ?? '').trim();
  const texts = { overrides: '', because: '', source: '' };
  if (fields.slice(columns.length).some((field) => field !== ''))
    faults.push(
      `The row has ${fields.length} fields, and the header ${columns.length}. A text with commas needs quotes.`,
    );
  for (const [at, column] of columns.entries()) {
    const text = withoutLead(fields[at] ?? '');
    if (column.kind === 'when') {
      if (text.trim() !== '' && text.trim() !== ANY) when[column.id] = text;
    } else if (column.kind === 'then') {
      const value = outcomeOf(text, column.type, id === 'otherwise');
      if (value === NO_VALUE) faults.push(`"${text}" is not a value of ${column.id}.`);
      else if (value !== undefined) given[column.id] = value;
    } else if (column.kind !== 'rule') {
      texts[column.kind] = text;
    }
  }
  if (id === '') faults.push('The row has no rule id. Give every rule an id that never changes.');
  if (id === 'otherwise' && Object.keys(when).length > 0)
    faults.push(`"otherwise" of ${decision.id} has no conditions: it is what holds when no rule does.`);
  const overrides = texts.overrides.split(',').flatMap((id) => (id.trim() === '' ? [] : [id.trim()]));
  // oxlint-disable unicorn/no-thenable -- `then` is a key of the document format; a rule is never awaited.
  const rule: PolicyRule = {
    id,
    when,
    then: given,
    ...(overrides.length === 0 ? {} : { overrides }),
    ...(texts.because === '' ? {} : { because: texts.because }),
    ...(texts.source === '' ? {} : { source: texts.source }),
  };
  // oxlint-enable unicorn/no-thenable
  return { rule, faults };
}

const NO_VALUE = Symbol('no value');

/** A value from its text; undefined where the row gives none, NO_VALUE where it is none of the type. */
function outcomeOf(text: string, type: FactType, whole: boolean): OutcomeValue | undefined | typeof NO_VALUE {
  // Rules of a list give one element each; only `otherwise` gives a whole list.
  if (type.list === true && whole) {
    const values = text.split(',').flatMap((part) => (part.trim() === '' ? [] : [scalarOf(part.trim(), type)]));
    return values.includes(undefined) ? NO_VALUE : (values as OutcomeScalar[]);
  }
  if (text === '') return undefined;
  const value = scalarOf(text, type);
  return value === undefined ? NO_VALUE : value;
}

function scalarOf(text: string, type: FactType): OutcomeScalar | undefined {
  if (type.type === 'enum' && type.values.includes(text)) return text;
  if (text === 'none') return null;
  switch (type.type) {
    case 'enum':
      return undefined;
    case 'boolean':
      return /^true$/i.test(text) ? true : /^false$/i.test(text) ? false : undefined;
    case 'integer':
      return /^-?\d{1,15}$/.test(text) ? Number(text) : undefined;
    default:
      return text;
  }
}
