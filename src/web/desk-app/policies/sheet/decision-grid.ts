import type {
  FactType,
  HitPolicy,
  OutcomeValue,
  PolicyDecision,
  PolicyDocument,
  PolicyRule,
  PolicyTable,
} from '../../../../policies/policies.contract.js';
import type { GridColumn, GridModel, GridRow } from './grid-model.js';
import { outcomeOf, outcomeText, typeWords } from './written-values.js';

/** Key of the row that says what holds when no rule does. */
export const OTHERWISE = 'otherwise';

/** How a table chooses among the rules that hold, in a sentence. */
export const HIT_WORDS: Readonly<Record<HitPolicy, string>> = {
  unique: 'Exactly one rule may hold; two that hold together are a mistake.',
  any: 'Any of the rules that hold decides, so they must agree.',
  first: 'The uppermost rule that holds decides.',
  priority: 'Of the rules that hold, the one whose outcome stands first among the declared values decides.',
  'rule order': 'All rules that hold count: a list in the order of the rows.',
  'output order': 'All rules that hold count: a list in the order of the declared values.',
  collect: 'All rules that hold count, in no order.',
};

/** The table of a decision as a grid: rule id, conditions, outcomes, reason, source, exceptions. */
export function decisionGrid(document: PolicyDocument, decision: PolicyDecision): GridModel {
  const { table } = decision;
  if (table === undefined) return { label: decision.id, columns: [], rows: [], movable: 0 };
  const columns = columnsOf(document, decision, table);
  const rows = table.rules.map((rule) => rowOf(rule, columns, table));
  const { otherwise, otherwiseBecause } = table;
  if (otherwise !== undefined) rows.push(otherwiseRow(otherwise, otherwiseBecause, columns));
  return {
    label: `Rules of ${decision.title ?? decision.id}`,
    columns,
    rows,
    movable: table.rules.length,
  };
}

/** Columns are made anew only when something that they say has changed. */
const COLUMNS = new WeakMap<PolicyTable['columns'], ColumnsMade>();
interface ColumnsMade {
  readonly from: readonly object[];
  readonly columns: readonly GridColumn[];
}
/** So are rows: a row that did not change is the same thing, and is not drawn again. */
const ROWS = new WeakMap<PolicyRule, { readonly columns: readonly GridColumn[]; readonly key: string; row: GridRow }>();
const KEYS = new WeakMap<PolicyRule, string>();
let made = 0;

function columnsOf(document: PolicyDocument, decision: PolicyDecision, table: PolicyTable): readonly GridColumn[] {
  const from = [document.facts, document.parameters, ...document.decisions.map(({ gives }) => gives)];
  const kept = COLUMNS.get(table.columns);
  if (kept?.from.length === from.length && from.every((each, at) => kept.from[at] === each)) return kept.columns;
  const types = typesBefore(document, decision.id);
  const columns: GridColumn[] = [
    { id: 'id', head: 'Rule', takes: 'an id that never changes', part: 'name' },
    ...usedFirst(table).map(([id, expression]) => conditionColumn(id, expression, types)),
    ...Object.entries(decision.gives).map(([name, type]) => outcomeColumn(name, type)),
    { id: 'because', head: 'Because', takes: 'the reason, in a sentence', part: 'words' },
    { id: 'source', head: 'Source', takes: 'law, contract or custom', part: 'words' },
    { id: 'overrides', head: 'Exception to', takes: 'ids of rules of this table, with commas', part: 'words' },
  ];
  COLUMNS.set(table.columns, { from, columns });
  return columns;
}

/** Types of all names that a decision may read: facts, parameters, and what the decisions above it give. */
export function typesBefore(document: PolicyDocument, decision: string): ReadonlyMap<string, FactType> {
  const types = new Map<string, FactType>(Object.entries(document.facts));
  for (const [name, { type }] of Object.entries(document.parameters)) types.set(name, { type });
  for (const { id, gives } of document.decisions) {
    if (id === decision) break;
    for (const [name, type] of Object.entries(gives)) types.set(name, type);
  }
  return types;
}

/** Columns have no order of their own, so those that most rules fill stand first. */
function usedFirst({ columns, rules }: PolicyTable): readonly (readonly [string, string])[] {
  const used = (id: string): number => rules.filter(({ when }) => id in when).length;
  return Object.entries(columns).toSorted(([a], [b]) => used(b) - used(a));
}

function conditionColumn(id: string, expression: string, types: ReadonlyMap<string, FactType>): GridColumn {
  const type = types.get(expression);
  const offers = type === undefined ? undefined : offersOf(type);
  return {
    id,
    head: expression,
    takes: type === undefined ? 'what the expression comes to' : typeWords(type),
    part: 'condition',
    empty: 'any',
    ...(offers === undefined ? {} : { offers: [...offers, ...(type?.optional === true ? ['null'] : [])] }),
  };
}

function offersOf(type: FactType): readonly string[] | undefined {
  if (type.list === true) return undefined;
  if (type.type === 'enum') return type.values.map((value) => JSON.stringify(value));
  return type.type === 'boolean' ? ['true', 'false'] : undefined;
}

function outcomeColumn(name: string, type: FactType): GridColumn {
  const values = type.type === 'enum' ? type.values : type.type === 'boolean' ? ['true', 'false'] : undefined;
  return {
    id: `gives ${name}`,
    head: name,
    takes: typeWords(type),
    part: 'outcome',
    ...(values === undefined ? {} : { offers: [...values, ...(type.optional === true ? ['null'] : [])] }),
  };
}

function rowOf(rule: PolicyRule, columns: readonly GridColumn[], table: PolicyTable): GridRow {
  const kept = ROWS.get(rule);
  if (kept?.columns === columns) return kept.row;
  const key = kept?.key ?? keyOf(rule);
  const row = { key, texts: columns.map((column) => textOf(rule, column, table)) };
  ROWS.set(rule, { columns, key, row });
  return row;
}

/** A key for a rule that outlives edits; ids are no use, as they can be typed over. */
export function keyOf(rule: PolicyRule): string {
  const kept = KEYS.get(rule);
  if (kept !== undefined) return kept;
  made += 1;
  KEYS.set(rule, `rule ${made}`);
  return `rule ${made}`;
}

/** The edited rule is the same row. */
export function sameRow(was: PolicyRule, becomes: PolicyRule): PolicyRule {
  KEYS.set(becomes, keyOf(was));
  return becomes;
}

function textOf(rule: PolicyRule, { id, part }: GridColumn, table: PolicyTable): string {
  if (part === 'name') return rule.id;
  if (part === 'condition') return id in table.columns ? (rule.when[id] ?? '') : '';
  if (part === 'outcome') return outcomeText(rule.then[outcomeOfColumn(id)]);
  if (id === 'overrides') return (rule.overrides ?? []).join(', ');
  return (id === 'because' ? rule.because : rule.source) ?? '';
}

/** Name of the outcome that a column is of. */
export function outcomeOfColumn(column: string): string {
  return column.replace(/^gives /, '');
}

function otherwiseRow(
  otherwise: Readonly<Record<string, OutcomeValue>>,
  because: string | undefined,
  columns: readonly GridColumn[],
): GridRow {
  const texts = columns.map(({ id, part }) => {
    if (part === 'name') return OTHERWISE;
    if (part === 'outcome') return outcomeText(otherwise[outcomeOfColumn(id)]);
    return id === 'because' ? (because ?? '') : '';
  });
  const fixed = columns.filter(({ id, part }) => part !== 'outcome' && id !== 'because').map(({ id }) => id);
  return { key: OTHERWISE, texts, fixed: new Set(fixed) };
}

/** A rule with one cell written anew. @param column an id of the grid's columns */
export function ruleWith(
  rule: PolicyRule,
  column: GridColumn,
  text: string,
  gives: PolicyDecision['gives'],
): PolicyRule {
  const { id, part } = column;
  if (part === 'name') return { ...rule, id: text.trim() };
  if (part === 'condition') return { ...rule, when: withEntry(rule.when, id, conditionOf(text)) };
  if (part === 'outcome') {
    const name = outcomeOfColumn(id);
    const type = gives[name];
    // oxlint-disable-next-line unicorn/no-thenable -- `then` is a key of the document format; a rule is never awaited.
    return { ...rule, then: withEntry(rule.then, name, type === undefined ? text : outcomeOf(type, text)) };
  }
  const { because: _because, source: _source, overrides: _overrides, ...rest } = rule;
  const words = {
    because: rule.because,
    source: rule.source,
    overrides: rule.overrides,
    [id]: id === 'overrides' ? namesIn(text) : text.trim() === '' ? undefined : text.trim(),
  };
  return { ...rest, ...present(words) };
}

/** What is written in a condition; nothing, and the dash that means anything, leave the column out. */
function conditionOf(text: string): string | undefined {
  const written = text.trim();
  return written === '' || written === '-' ? undefined : written;
}

function namesIn(text: string): readonly string[] | undefined {
  const names = text
    .split(',')
    .map((name) => name.trim())
    .filter((name) => name !== '');
  return names.length === 0 ? undefined : names;
}

/** An object with one member written anew in its place, or left out. */
export function withEntry<Value>(
  of: Readonly<Record<string, Value>>,
  name: string,
  value: Value | undefined,
): Readonly<Record<string, Value>> {
  if (value !== undefined) return { ...of, [name]: value };
  return Object.fromEntries(Object.entries(of).filter(([each]) => each !== name));
}

function present<T extends object>(of: T): { [Key in keyof T]?: Exclude<T[Key], undefined> } {
  return Object.fromEntries(Object.entries(of).filter(([, value]) => value !== undefined)) as never;
}
