import type { OutcomeValue, PolicyDecision, PolicyDocument, PolicyTable } from '../policies.contract.js';

/** A decision table as rows of text, the way a person reads it: conditions, outcomes, reasons. */
export interface PlainTable {
  readonly decision: string;
  readonly title: string;
  /** How the table chooses among rules, in words. */
  readonly hit: string;
  readonly header: readonly string[];
  /** As many texts a row as the header has; `-` where a rule takes any value. */
  readonly rows: readonly (readonly string[])[];
}

/** Text of a cell that takes anything. */
export const ANY = '-';

/** Every table of a policy, in document order, expressions as tables of one row. */
export function plainTables(document: PolicyDocument): PlainTable[] {
  return document.decisions.map((decision) =>
    decision.table ? fromTable(decision, decision.table) : fromExpression(decision),
  );
}

function fromTable(decision: PolicyDecision, table: PolicyTable): PlainTable {
  const columns = Object.entries(table.columns);
  const outcomes = Object.keys(decision.gives);
  const row = (rule: PolicyTable['rules'][number]): string[] => [
    rule.id,
    ...columns.map(([id]) => rule.when[id] ?? ANY),
    ...outcomes.map((name) => plainValue(rule.then[name])),
    (rule.overrides ?? []).join(', '),
    rule.because ?? '',
    rule.source ?? '',
  ];
  const { otherwise } = table;
  const rest = otherwise && [
    'otherwise',
    ...columns.map(() => ANY),
    ...outcomes.map((name) => plainValue(otherwise[name])),
    '',
    table.otherwiseBecause ?? '',
    '',
  ];
  return {
    decision: decision.id,
    title: decision.title ?? decision.id,
    hit: table.aggregate === undefined ? table.hit : `${table.hit} ${table.aggregate}`,
    header: ['rule', ...columns.map(columnName), ...outcomes, 'overrides', 'because', 'source'],
    rows: [...table.rules.map(row), ...(rest ? [rest] : [])],
  };
}

/** A column says what it reads; its own short name is added where the two differ. */
export function columnName([id, expression]: readonly [string, string]): string {
  return id === expression ? id : `${expression} (${id})`;
}

function fromExpression(decision: PolicyDecision): PlainTable {
  return {
    decision: decision.id,
    title: decision.title ?? decision.id,
    hit: 'expression',
    header: ['rule', ...Object.keys(decision.gives)],
    rows: [['expression', decision.expression ?? '']],
  };
}

function plainValue(value: OutcomeValue | readonly OutcomeValue[] | undefined): string {
  if (value === undefined) return '';
  return value === null ? 'none' : String(value);
}
