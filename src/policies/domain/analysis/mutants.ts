import type {
  FactType,
  OutcomeValue,
  Parameter,
  PolicyDecision,
  PolicyDocument,
  PolicyRule,
  PolicyTable,
} from '../../policies.contract.js';
import { cellMutants, movedLiterals, movedNumber } from './cell-mutants.js';
import { typeOfName } from './column-words.js';
import { namesInTexts, textsOf } from './names-in-text.js';

/** A policy written slightly wrong. */
export interface Mutant {
  readonly decision: string;
  readonly rule?: string;
  readonly column?: string;
  /** What was done, in words that follow the place. */
  readonly words: string;
  readonly document: PolicyDocument;
}

type Place = Omit<Mutant, 'document'>;
type Then = Readonly<Record<string, OutcomeValue>>;

/** Every way in which a policy is written slightly wrong: ends moved by a step, values left out, outcomes exchanged, rules dropped. */
export function* mutantsOf(document: PolicyDocument): Generator<Mutant> {
  for (const decision of document.decisions) {
    for (const [place, changed] of decisionMutants(document, decision)) {
      yield { ...place, document: withDecision(document, changed) };
    }
  }
  yield* parameterMutants(document);
}

function withDecision(document: PolicyDocument, changed: PolicyDecision): PolicyDocument {
  return { ...document, decisions: document.decisions.map((each) => (each.id === changed.id ? changed : each)) };
}

function* decisionMutants(document: PolicyDocument, decision: PolicyDecision): Generator<[Place, PolicyDecision]> {
  const { id: name, table, expression } = decision;
  if (expression !== undefined) {
    for (const { text, words } of movedLiterals(expression, undefined)) {
      yield [
        { decision: name, words },
        { ...decision, expression: text },
      ];
    }
  }
  if (!table) return;
  for (const [place, rule] of table.rules.entries()) {
    for (const [at, changed] of ruleMutants(document, decision, table, rule)) {
      const rules = changed ? table.rules.with(place, changed) : without(table.rules, place);
      yield [
        { decision: name, rule: rule.id, ...at },
        { ...decision, table: { ...table, rules } },
      ];
    }
  }
  for (const [outcome, value, other] of table.otherwise ? otherOutcomes(decision, table.otherwise) : []) {
    const otherwise = { ...table.otherwise, [outcome]: other };
    const words = `"otherwise" can give ${outcome} ${String(other)} in place of ${String(value)}`;
    yield [
      { decision: name, rule: 'otherwise', words },
      { ...decision, table: { ...table, otherwise } },
    ];
  }
}

/** A rule dropped leaves nothing that is an exception to it. */
function without(rules: readonly PolicyRule[], place: number): PolicyRule[] {
  const id = rules[place]?.id ?? '';
  return rules
    .toSpliced(place, 1)
    .map((rule) =>
      rule.overrides?.includes(id) ? { ...rule, overrides: rule.overrides.filter((other) => other !== id) } : rule,
    );
}

type At = Pick<Mutant, 'column' | 'words'>;

function* ruleMutants(
  document: PolicyDocument,
  decision: PolicyDecision,
  table: PolicyTable,
  rule: PolicyRule,
): Generator<[At, PolicyRule | undefined]> {
  if (table.rules.length > 1) yield [{ words: 'the whole rule can be left out' }, undefined];
  for (const [column, cell] of Object.entries(rule.when)) {
    const type = typeOfName(document, table.columns[column] ?? '');
    for (const { text, words } of cellMutants(cell, type)) {
      yield [
        { column, words },
        { ...rule, when: { ...rule.when, [column]: text } },
      ];
    }
  }
  for (const [outcome, value, other] of otherOutcomes(decision, rule.then)) {
    const words = `it can give ${outcome} ${String(other)} in place of ${String(value)}`;
    // oxlint-disable-next-line unicorn/no-thenable -- `then` is a key of the document format; rules are never awaited.
    yield [{ words }, { ...rule, then: { ...rule.then, [outcome]: other } }];
  }
}

/** For each outcome another value that it could be. */
function otherOutcomes({ gives }: PolicyDecision, then: Then): [string, OutcomeValue, OutcomeValue][] {
  return Object.entries(gives).flatMap(([name, type]): [string, OutcomeValue, OutcomeValue][] => {
    const value = then[name] ?? null;
    const other = type.list === true ? undefined : otherValue(type, value);
    return other === undefined ? [] : [[name, value, other]];
  });
}

function otherValue(type: FactType, value: OutcomeValue): OutcomeValue | undefined {
  switch (type.type) {
    case 'enum': {
      const at = typeof value === 'string' ? type.values.indexOf(value) : -1;
      const next = type.values[(at + 1) % type.values.length];
      return next === value ? undefined : next;
    }
    case 'boolean':
      return value !== true;
    case 'integer':
      return typeof value === 'number' ? within(type, value) : undefined;
    case 'decimal':
      return typeof value === 'string' || typeof value === 'number'
        ? movedNumber(String(value), type).at(-1)
        : undefined;
    default:
      return undefined;
  }
}

function within(type: Extract<FactType, { type: 'integer' }>, value: number): number {
  return type.max !== undefined && value + 1 > type.max ? value - 1 : value + 1;
}

/** Every dated value of every parameter that a table or expression reads, one step up and down. */
function* parameterMutants(document: PolicyDocument): Generator<Mutant> {
  const read = namesInTexts(textsOf(document), [
    ...Object.keys(document.facts),
    ...Object.keys(document.parameters),
    ...document.decisions.flatMap(({ gives }) => Object.keys(gives)),
  ]);
  for (const [name, parameter] of Object.entries(document.parameters)) {
    if (!read.has(name)) continue;
    for (const [place, { from, value }] of parameter.values.entries()) {
      for (const other of movedNumber(String(value), { type: parameter.type })) {
        const words = `the parameter "${name}" can be ${other} in place of ${value} since ${from}`;
        yield {
          decision: readerOf(document, name),
          words,
          document: withParameter(document, name, changed(parameter, place, other)),
        };
      }
    }
  }
}

function changed(parameter: Parameter, place: number, text: string): Parameter {
  const dated = parameter.values[place];
  const value = parameter.type === 'integer' ? Number(text) : text;
  return dated ? { ...parameter, values: parameter.values.with(place, { ...dated, value }) } : parameter;
}

function withParameter(document: PolicyDocument, name: string, parameter: Parameter): PolicyDocument {
  return { ...document, parameters: { ...document.parameters, [name]: parameter } };
}

/** The first decision that reads a parameter. */
function readerOf(document: PolicyDocument, name: string): string {
  const reader = document.decisions.find((decision) =>
    namesInTexts(textsOf({ ...document, decisions: [decision] }), [
      ...Object.keys(document.parameters),
      ...Object.keys(document.facts),
    ]).has(name),
  );
  return reader?.id ?? '';
}
