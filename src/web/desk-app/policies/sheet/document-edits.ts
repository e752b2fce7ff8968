import type {
  HitPolicy,
  PolicyDecision,
  PolicyDocument,
  PolicyExample,
  PolicyRule,
  PolicyTable,
} from '../../../../policies/policies.contract.js';
import { outcomeOfColumn, ruleWith, sameRow, withEntry } from './decision-grid.js';
import type { GridColumn } from './grid-model.js';
import { outcomeOf } from './written-values.js';

/** Edits of a policy document: each gives a new document, in which everything that was not touched is the same thing as before. */

/** A decision by id, changed. */
export function withDecision(
  document: PolicyDocument,
  id: string,
  change: (decision: PolicyDecision) => PolicyDecision,
): PolicyDocument {
  return {
    ...document,
    decisions: document.decisions.map((decision) => (decision.id === id ? change(decision) : decision)),
  };
}

/** The table of a decision, changed; a decision that is an expression stays as it is. */
export function withTable(
  document: PolicyDocument,
  id: string,
  change: (table: PolicyTable, decision: PolicyDecision) => PolicyTable,
): PolicyDocument {
  return withDecision(document, id, (decision) =>
    decision.table === undefined ? decision : { ...decision, table: change(decision.table, decision) },
  );
}

/** Writes a cell. @param row place among the rules; behind the last one stands `otherwise` */
export function writeCell(
  document: PolicyDocument,
  id: string,
  row: number,
  column: GridColumn,
  text: string,
): PolicyDocument {
  return withTable(document, id, (table, { gives }) => {
    const rule = table.rules[row];
    if (rule === undefined) return writeOtherwise(table, column, text, gives);
    const next = sameRow(rule, ruleWith(rule, column, text, gives));
    const rules = table.rules.with(row, next);
    return { ...table, rules: next.id === rule.id ? rules : renamed(rules, rule.id, next.id) };
  });
}

/** Exceptions name rules by id, and go on doing so when one gets another. */
function renamed(rules: readonly PolicyRule[], was: string, becomes: string): readonly PolicyRule[] {
  return rules.map((rule) =>
    rule.overrides?.includes(was) === true
      ? sameRow(rule, { ...rule, overrides: rule.overrides.map((each) => (each === was ? becomes : each)) })
      : rule,
  );
}

function writeOtherwise(
  table: PolicyTable,
  column: GridColumn,
  text: string,
  gives: PolicyDecision['gives'],
): PolicyTable {
  if (column.id === 'because') {
    const { otherwiseBecause: _, ...rest } = table;
    return text.trim() === '' ? rest : { ...rest, otherwiseBecause: text.trim() };
  }
  const name = outcomeOfColumn(column.id);
  const type = gives[name];
  if (column.part !== 'outcome' || type === undefined) return table;
  return { ...table, otherwise: withEntry(table.otherwise ?? {}, name, outcomeOf(type, text)) };
}

/** A rule takes another place. */
export function moveRule(document: PolicyDocument, id: string, from: number, to: number): PolicyDocument {
  return withTable(document, id, (table) => {
    const rule = table.rules[from];
    if (rule === undefined || to < 0 || to >= table.rules.length) return table;
    return { ...table, rules: table.rules.toSpliced(from, 1).toSpliced(to, 0, rule) };
  });
}

/** A rule without conditions below a place, with the outcomes of the one above it and an id of its own. */
export function addRule(document: PolicyDocument, id: string, below: number): PolicyDocument {
  const taken = new Set(document.decisions.flatMap(({ table }) => table?.rules.map((rule) => rule.id) ?? []));
  return withTable(document, id, (table, { gives }) => {
    const above = table.rules[Math.min(below, table.rules.length - 1)];
    const then = above?.then ?? Object.fromEntries(Object.keys(gives).map((name) => [name, '']));
    // oxlint-disable-next-line unicorn/no-thenable -- `then` is a key of the document format; a rule is never awaited.
    const rule: PolicyRule = { id: freeId(above?.id ?? 'RULE-0', taken), when: {}, then };
    return { ...table, rules: table.rules.toSpliced(Math.min(below + 1, table.rules.length), 0, rule) };
  });
}

/** The next id after one that nobody has: the number at its end is counted on, by fives as far as there is room. */
export function freeId(after: string, taken: ReadonlySet<string>): string {
  const [, stem = `${after}-`, digits = '0'] = /^(.*?)(\d+)$/.exec(after) ?? [];
  for (let step = 5; ; step += 1) {
    const next = `${stem}${String(Number(digits) + step).padStart(digits.length, '0')}`;
    if (!taken.has(next)) return next;
  }
}

export function removeRule(document: PolicyDocument, id: string, row: number): PolicyDocument {
  return withTable(document, id, (table) => ({ ...table, rules: table.rules.toSpliced(row, 1) }));
}

/** The row for when no rule holds. */
export function addOtherwise(document: PolicyDocument, id: string): PolicyDocument {
  return withTable(document, id, (table, { gives }) => ({
    ...table,
    otherwise: table.otherwise ?? Object.fromEntries(Object.keys(gives).map((name) => [name, ''])),
  }));
}

export function removeOtherwise(document: PolicyDocument, id: string): PolicyDocument {
  return withTable(document, id, ({ otherwise: _otherwise, otherwiseBecause: _because, ...table }) => table);
}

/** A column that reads something; its id is what it reads, with a number where that is taken. */
export function addColumn(document: PolicyDocument, id: string, expression: string): PolicyDocument {
  return withTable(document, id, (table) => {
    let column = expression;
    for (let n = 2; column in table.columns; n += 1) column = `${expression} ${n}`;
    return { ...table, columns: { ...table.columns, [column]: expression } };
  });
}

/** What a column reads is written anew. */
export function writeColumn(document: PolicyDocument, id: string, column: string, expression: string): PolicyDocument {
  return withTable(document, id, (table) => ({ ...table, columns: { ...table.columns, [column]: expression } }));
}

/** A column goes, and with it the cells of all rules in it. */
export function removeColumn(document: PolicyDocument, id: string, column: string): PolicyDocument {
  return withTable(document, id, (table) => ({
    ...table,
    columns: withEntry(table.columns, column, undefined),
    rules: table.rules.map((rule) =>
      column in rule.when ? sameRow(rule, { ...rule, when: withEntry(rule.when, column, undefined) }) : rule,
    ),
  }));
}

export function writeHit(document: PolicyDocument, id: string, hit: HitPolicy): PolicyDocument {
  return withTable(document, id, ({ aggregate, ...table }) => ({
    ...table,
    hit,
    ...(hit === 'collect' && aggregate !== undefined ? { aggregate } : {}),
  }));
}

/** Adds an example, or writes the one of the same id anew. */
export function putExample(document: PolicyDocument, example: PolicyExample): PolicyDocument {
  const at = document.examples.findIndex(({ id }) => id === example.id);
  const examples = at < 0 ? [...document.examples, example] : document.examples.with(at, example);
  return { ...document, examples };
}

export function removeExample(document: PolicyDocument, id: string): PolicyDocument {
  return { ...document, examples: document.examples.filter((example) => example.id !== id) };
}
