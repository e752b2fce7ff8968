import type {
  ClockRule,
  FactType,
  OutcomeValue,
  Parameter,
  PolicyDecision,
  PolicyDocument,
  PolicyFault,
  PolicyTable,
} from '../policies.contract.js';
import { minorDigits } from '../../kernel/currency.js';
import { readOutcome, typeOfRuleValue } from './outcome-values.js';
import { FUNCTIONS, LIMITS } from './syntax.js';
import { tableFaults } from './table-faults.js';
import { Day, readNumber, readTyped } from './values.js';

const NAME = /^\p{L}[\p{L}\p{N}_]*( [\p{L}_][\p{L}\p{N}_]*)*$/u;
const RESERVED: readonly string[] = [
  'if',
  'then',
  'else',
  'and',
  'or',
  'true',
  'false',
  'null',
  'not',
  'date',
  ...FUNCTIONS,
];
/** Keys of an example's `expect` that are not outcomes. */
const EXPECTATIONS: readonly string[] = ['needs', 'no rule'];

/** Faults of meaning in a document whose shape is right, except those inside cells and expressions. */
export function meaningFaults(document: PolicyDocument): PolicyFault[] {
  return [
    ...headFaults(document),
    ...nameFaults(document),
    ...Object.entries(document.facts).flatMap(([name, type]) => factFaults(`facts \u203a ${name}`, type)),
    ...Object.entries(document.parameters).flatMap(([name, parameter]) => parameterFaults(name, parameter)),
    ...document.decisions.flatMap(decisionFaults),
    ...duplicates(
      'The rule id',
      document.decisions.flatMap((d) => d.table?.rules.map((rule) => rule.id) ?? []),
    ),
    ...clockFaults(document),
    ...document.examples.flatMap((example) => exampleFaults(document, example)),
    ...duplicates(
      'The example id',
      document.examples.map((example) => example.id),
    ),
  ];
}

function headFaults(document: PolicyDocument): PolicyFault[] {
  const faults: PolicyFault[] = [];
  const { currency, scale } = document.money;
  const digits = minorDigits(currency);
  if (digits === undefined)
    faults.push({ detail: `money: ${currency} is not a currency of ISO 4217 with minor units.` });
  else if (digits !== scale)
    faults.push({ detail: `money: ${currency} has ${digits} digits after the point, not ${scale}.` });
  try {
    new Temporal.PlainDate(2026, 1, 1).toZonedDateTime(document.zone);
  } catch {
    faults.push({ detail: `zone: ${document.zone} is not a time zone like Europe/Berlin.` });
  }
  if (document.facts[document.governedBy]?.type !== 'date') {
    faults.push({ detail: `governedBy: ${document.governedBy} must be a fact of type date.` });
  }
  return faults;
}

function nameFaults(document: PolicyDocument): PolicyFault[] {
  const names = [
    ...Object.keys(document.facts),
    ...Object.keys(document.parameters),
    ...document.decisions.flatMap((decision) => Object.keys(decision.gives)),
  ];
  const badly = names.filter((name) => !NAME.test(name) || RESERVED.includes(name));
  return [
    ...badly.map((name) => ({
      detail: `"${name}" cannot be a name: use words of letters, digits and _ with single spaces, not a word of the language.`,
    })),
    ...duplicates('The name', names),
    ...duplicates(
      'The decision id',
      document.decisions.map((decision) => decision.id),
    ),
  ];
}

function duplicates(what: string, names: readonly string[]): PolicyFault[] {
  const twice = new Set(names.filter((name, index) => names.indexOf(name) !== index));
  return [...twice].map((name) => ({ detail: `${what} "${name}" is used more than once; each needs its own.` }));
}

function factFaults(where: string, type: FactType): PolicyFault[] {
  const faults = typeFaults(where, type);
  return type.list ? [...faults, { detail: `${where}: only outcomes of decisions can be lists.` }] : faults;
}

function typeFaults(where: string, type: FactType): PolicyFault[] {
  if (type.type === 'enum') return duplicates(`${where}: the value`, type.values);
  if (type.type !== 'integer' && type.type !== 'decimal') return [];
  const faults: PolicyFault[] = [];
  const [min, max] = [type.min, type.max].map((end) => (end === undefined ? undefined : readNumber(end)));
  if ((type.min !== undefined && !min) || (type.max !== undefined && !max)) {
    faults.push({ detail: `${where}: min and max must be numbers.` });
  } else if (min && max && min.greaterThan(max)) {
    faults.push({ detail: `${where}: min is above max.` });
  }
  return faults;
}

function parameterFaults(name: string, parameter: Parameter): PolicyFault[] {
  const faults: PolicyFault[] = [];
  let before: Day | undefined;
  for (const { from, value } of parameter.values) {
    const day = Day.parse(from);
    const where = `parameters \u203a ${name} \u203a ${from}`;
    if (!day) faults.push({ detail: `${where}: write the date as 2026-03-01.` });
    else if (before && day.epochDay <= before.epochDay) {
      faults.push({ detail: `${where}: the dates are out of order; each value starts after the one before it.` });
    }
    before = day ?? before;
    const read = readTyped({ type: parameter.type }, value);
    if ('wrong' in read) faults.push({ detail: `${where}: ${read.wrong}.` });
  }
  return faults;
}

function decisionFaults(decision: PolicyDecision): PolicyFault[] {
  const at = { decision: decision.id };
  const outcomes = Object.keys(decision.gives);
  const faults = Object.entries(decision.gives).flatMap(([name, type]) =>
    typeFaults(`${decision.id} \u203a ${name}`, type),
  );
  if (outcomes.length === 0) faults.push({ ...at, detail: '"gives" names no outcome.' });
  if ((decision.table === undefined) === (decision.expression === undefined)) {
    faults.push({ ...at, detail: 'A decision has either a table or an expression.' });
  }
  if (decision.expression !== undefined && outcomes.length > 1) {
    faults.push({ ...at, detail: 'An expression gives one outcome; use a table for more.' });
  }
  const { table } = decision;
  if (!table) return faults;
  if (table.rules.length > LIMITS.rules)
    faults.push({ ...at, detail: `A table may have at most ${LIMITS.rules} rules.` });
  faults.push(...tableFaults(decision, table));
  for (const rule of table.rules) {
    const place = { ...at, rule: rule.id };
    for (const column of Object.keys(rule.when).filter((id) => !Object.hasOwn(table.columns, id))) {
      faults.push({
        ...place,
        column,
        detail: `There is no column "${column}"; columns are ${Object.keys(table.columns).join(', ')}.`,
      });
    }
    // Only how many rules hold is counted, so what one of them gives is not read.
    if (table.aggregate !== 'count') faults.push(...outcomeFaults(ruleTypes(decision, table), rule.then, place));
  }
  if (table.otherwise) faults.push(...outcomeFaults(decision.gives, table.otherwise, { ...at, rule: 'otherwise' }));
  return faults;
}

/** Types of what one rule gives: elements, where the table makes lists of them. */
function ruleTypes({ gives }: PolicyDecision, table: PolicyTable): PolicyDecision['gives'] {
  return Object.fromEntries(Object.entries(gives).map(([name, type]) => [name, typeOfRuleValue(table, type)]));
}

function outcomeFaults(
  gives: PolicyDecision['gives'],
  then: Readonly<Record<string, OutcomeValue>>,
  place: { decision: string; rule: string },
): PolicyFault[] {
  const faults: PolicyFault[] = [];
  for (const [name, type] of Object.entries(gives)) {
    const at = { ...place, outcome: name };
    if (!Object.hasOwn(then, name)) faults.push({ ...at, detail: `The outcome "${name}" is missing.` });
    else {
      const read = readOutcome(type, then[name]);
      if ('wrong' in read) faults.push({ ...at, detail: `The outcome "${name}": ${read.wrong}.` });
    }
  }
  for (const name of Object.keys(then).filter((key) => !Object.hasOwn(gives, key))) {
    faults.push({ ...place, outcome: name, detail: `"${name}" is not an outcome of this decision.` });
  }
  return faults;
}

function clockFaults(document: PolicyDocument): PolicyFault[] {
  const clocks = document.clocks ?? [];
  const unnamed = clocks.flatMap((clock) =>
    lengthsOf(clock)
      .filter((name) => document.parameters[name]?.type !== 'integer')
      .map((name) => ({ id: clock.id, length: name })),
  );
  return [
    ...duplicates(
      'The clock id',
      clocks.map((clock) => clock.id),
    ),
    ...unnamed.map(({ id, length }) => ({
      detail: `clocks \u203a ${id}: ${length} is not a parameter of type integer.`,
    })),
    ...clocks.flatMap((clock) =>
      pairFaults(clock).map((detail) => ({ detail: `clocks \u203a ${clock.id}: ${detail}` })),
    ),
  ];
}

/** Names of parameters that a clock takes its lengths from. */
function lengthsOf({ length, floor, extension, repeatsEvery }: ClockRule): string[] {
  return [length, floor, extension, repeatsEvery].filter((value) => typeof value === 'string');
}

/** Members of a clock that mean nothing alone, or that would count without end. */
function pairFaults(clock: ClockRule): string[] {
  const { pausedBy, resumedBy, waitInclusive, afterWait, extendedBy, extension, repeatsEvery } = clock;
  const faults: string[] = [];
  if ((pausedBy === undefined) !== (resumedBy === undefined))
    faults.push('name both what stops the count and what starts it again, or neither.');
  if (pausedBy === undefined && (waitInclusive !== undefined || afterWait !== undefined))
    faults.push('waitInclusive and afterWait need pausedBy and resumedBy.');
  if ((extendedBy === undefined) !== (extension === undefined))
    faults.push('name both what lengthens the clock and by how much, or neither.');
  if (typeof repeatsEvery === 'number' && repeatsEvery < 1) faults.push('repeatsEvery must be at least 1.');
  if ([afterWait ?? 0, ...(clock.warnDays ?? [])].some((days) => days < 0)) faults.push('days cannot be below 0.');
  return faults;
}

function exampleFaults(document: PolicyDocument, example: PolicyDocument['examples'][number]): PolicyFault[] {
  const where = `examples \u203a ${example.id}`;
  const faults: PolicyFault[] = [];
  if (!Day.parse(example.on)) faults.push({ detail: `${where}: write "on" as a date like 2026-03-01.` });
  for (const id of example.decisions ?? []) {
    if (!document.decisions.some((d) => d.id === id))
      faults.push({ detail: `${where}: there is no decision "${id}".` });
  }
  for (const [name, value] of Object.entries(example.given)) {
    const type = Object.hasOwn(document.facts, name) ? document.facts[name] : undefined;
    const read = type ? readTyped(type, value) : { wrong: 'the policy declares no such fact' };
    if ('wrong' in read) faults.push({ detail: `${where}: ${name}: ${read.wrong}.` });
  }
  for (const name of Object.keys(example.expect).filter((key) => !EXPECTATIONS.includes(key))) {
    if (!document.decisions.some((d) => Object.hasOwn(d.gives, name))) {
      faults.push({ detail: `${where}: "${name}" is not an outcome of any decision.` });
    }
  }
  return faults;
}
