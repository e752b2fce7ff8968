import type { PolicyDecision, PolicyFault, PolicyTable } from '../policies.contract.js';
import { gathersLists } from './outcome-values.js';

/** Faults of how a table chooses among its rules: hit policy, aggregate, order of output values, exceptions. */
export function tableFaults(decision: PolicyDecision, table: PolicyTable): PolicyFault[] {
  const at = { decision: decision.id };
  return [
    ...hitFaults(decision, table).map((detail) => ({ ...at, detail })),
    ...table.rules.flatMap((rule) => overrideFaults(table, rule).map((detail) => ({ ...at, rule: rule.id, detail }))),
    ...circles(table).map(({ rule, detail }) => ({ ...at, rule, detail })),
  ];
}

function hitFaults({ gives }: PolicyDecision, table: PolicyTable): string[] {
  const { hit, aggregate } = table;
  const outcomes = Object.entries(gives);
  const faults: string[] = [];
  if (aggregate !== undefined && hit !== 'collect') {
    faults.push(`"aggregate" goes with the hit policy collect, and this table has ${hit}.`);
  }
  if (gathersLists(table)) {
    for (const [name] of outcomes.filter(([, { list }]) => !list)) {
      faults.push(`Under ${hit} all rules that hold give "${name}" together; declare it with "list": true.`);
    }
  }
  if ((hit === 'priority' || hit === 'output order') && !outcomes.some(([, { type }]) => type === 'enum')) {
    faults.push(
      `Under ${hit} the order of the declared values decides, and no outcome of this table lists its values.`,
    );
  }
  if (hit === 'collect' && aggregate !== undefined) faults.push(...aggregateFaults(outcomes, aggregate));
  return faults;
}

function aggregateFaults(
  outcomes: readonly (readonly [string, PolicyDecision['gives'][string]])[],
  aggregate: NonNullable<PolicyTable['aggregate']>,
): string[] {
  const [first, second] = outcomes;
  if (!first) return [];
  const [name, { type, list, optional }] = first;
  const faults: string[] = [];
  if (second)
    faults.push(`collect with ${aggregate} gives one number, and this table gives ${outcomes.length} outcomes.`);
  if (aggregate === 'count' ? type !== 'integer' : type !== 'integer' && type !== 'decimal') {
    faults.push(
      aggregate === 'count'
        ? `collect with count gives a whole number; declare "${name}" as integer.`
        : `collect with ${aggregate} gives a number; declare "${name}" as integer or decimal.`,
    );
  }
  if (list) faults.push(`collect with ${aggregate} gives one number; "${name}" cannot be a list.`);
  if (optional && aggregate !== 'count')
    faults.push(`collect with ${aggregate} needs a number of every rule; "${name}" cannot be optional.`);
  return faults;
}

function overrideFaults(table: PolicyTable, rule: PolicyTable['rules'][number]): string[] {
  const ids = rule.overrides ?? [];
  return [
    ...ids
      .filter((id) => id !== rule.id && !table.rules.some((other) => other.id === id))
      .map((id) => `It is an exception to "${id}", and the table has no rule of that id.`),
    ...(ids.includes(rule.id) ? ['A rule cannot be an exception to itself.'] : []),
  ];
}

/** Rules that are exceptions to one another in a circle; each circle is told once, at its first rule. */
function circles(table: PolicyTable): { rule: string; detail: string }[] {
  const overrides = new Map(table.rules.map(({ id, overrides: ids }) => [id, ids ?? []]));
  const told = new Set<string>();
  const done = new Set<string>();
  const faults: { rule: string; detail: string }[] = [];
  for (const { id: start } of table.rules) {
    // Depth first without recursion: a chain may be as long as the table.
    const path: { readonly id: string; next: number }[] = [{ id: start, next: 0 }];
    while (path.length > 0) {
      const here = path.at(-1)!;
      const id = done.has(here.id) ? undefined : overrides.get(here.id)?.[here.next];
      here.next += 1;
      if (id === undefined) {
        done.add(here.id);
        path.pop();
        continue;
      }
      const from = path.findIndex((step) => step.id === id);
      if (from === -1) path.push({ id, next: 0 });
      else if (id !== here.id && !told.has(id)) {
        const circle = path.slice(from).map((step) => step.id);
        for (const each of circle) told.add(each);
        faults.push({ rule: id, detail: `The rules ${circle.join(', ')} are exceptions to one another in a circle.` });
      }
    }
  }
  return faults;
}
