import type { Element } from '@xmldom/xmldom';
import { parseCell } from '../domain/cell-parser.js';
import { FeelFunction, isList, type FeelValue } from '../domain/feel/kinds.js';
import { parseExpression } from '../domain/parser.js';
import { compileCell } from '../domain/run-cell.js';
import { compileWide } from '../domain/run-expression.js';
import { argumentsByName } from '../domain/run-functions.js';
import { lookupWith, type WideLookup } from '../domain/runs.js';
import { SyntaxFault } from '../domain/syntax.js';
import { Unknown } from '../domain/values.js';
import { attribute, child, children, textIn } from './elements.js';
import type { ItemTypes } from './item-types.js';
import { resultOf, type Hit, type HitRules } from './wide-table.js';

/** A boxed expression ready to run. */
export type Boxed = (lookup: WideLookup) => FeelValue;

/** What the expressions of one model may name. */
export interface ModelNames {
  readonly names: ReadonlySet<string>;
  readonly properties: ReadonlySet<string>;
  readonly types: ItemTypes;
}

const KINDS: Readonly<Record<string, (element: Element, model: ModelNames) => Boxed>> = {
  literalExpression: boxedLiteral,
  decisionTable: boxedTable,
  context: boxedContext,
  invocation: boxedInvocation,
  list: boxedList,
  relation: boxedRelation,
  functionDefinition: boxedFunction,
  conditional: boxedConditional,
};

/** Compiles the boxed expression that stands directly below an element; one that is none, or of no known kind, gives null. */
export function boxedBelow(element: Element, model: ModelNames): Boxed {
  for (const inner of children(element)) {
    const kind = KINDS[inner.localName ?? ''];
    if (kind) return typed(kind(inner, model), attribute(inner, 'typeRef'), model);
  }
  return () => null;
}

function typed(run: Boxed, type: string | undefined, { types }: ModelNames): Boxed {
  return type === undefined ? run : (lookup) => types.fit(run(lookup), type);
}

/** An expression as text. One that cannot be parsed is null when it runs, as an error in a model is. */
export function textExpression(text: string, model: ModelNames): Boxed {
  try {
    const run = compileWide(parseExpression(text, { ...model, dialect: 'wide' }));
    return (lookup) => {
      const value = run(lookup);
      return value instanceof Unknown ? null : value;
    };
  } catch (error) {
    if (error instanceof SyntaxFault) return () => null;
    throw error;
  }
}

function boxedLiteral(element: Element, model: ModelNames): Boxed {
  return textExpression(textIn(element) ?? '', model);
}

function withNames(model: ModelNames, names: readonly string[]): ModelNames {
  return { ...model, names: new Set([...model.names, ...names]) };
}

/** Entries in turn, each of which may read those before it; the last one without a name is what the context gives. */
function boxedContext(element: Element, model: ModelNames): Boxed {
  const entries: { name: string | undefined; run: Boxed }[] = [];
  let inside = model;
  for (const entry of children(element, 'contextEntry')) {
    const variable = child(entry, 'variable');
    const name = variable && attribute(variable, 'name');
    entries.push({
      name,
      run: typed(boxedBelow(entry, inside), variable && attribute(variable, 'typeRef'), model),
    });
    if (name !== undefined) inside = withNames(inside, [name]);
  }
  return (lookup) => {
    const made = new Map<string, FeelValue>();
    for (const { name, run } of entries) {
      const value = run(lookupWith(lookup, made));
      if (name === undefined) return value;
      made.set(name, value);
    }
    return made;
  };
}

function boxedInvocation(element: Element, model: ModelNames): Boxed {
  const callee = boxedLiteral(child(element, 'literalExpression') ?? element, model);
  const bindings = children(element, 'binding').map((binding) => {
    const parameter = child(binding, 'parameter');
    return { name: (parameter && attribute(parameter, 'name')) ?? '', run: boxedBelow(binding, model) };
  });
  return (lookup) => {
    const called = callee(lookup);
    if (!(called instanceof FeelFunction)) return null;
    const args = bindings.map(({ run }) => run(lookup));
    return called.call(
      args,
      bindings.map(({ name }) => name),
    );
  };
}

function boxedList(element: Element, model: ModelNames): Boxed {
  const items = children(element).flatMap((item) => {
    const kind = KINDS[item.localName ?? ''];
    return kind ? [kind(item, model)] : [];
  });
  return (lookup) => items.map((run) => run(lookup));
}

function boxedRelation(element: Element, model: ModelNames): Boxed {
  const columns = children(element, 'column').map((column) => attribute(column, 'name') ?? '');
  const rows = children(element, 'row').map((row) => boxedList(row, model));
  return (lookup) =>
    rows.map((row) => {
      const cells = row(lookup);
      return new Map(columns.map((name, i) => [name, (isList(cells) ? cells[i] : null) ?? null]));
    });
}

function boxedConditional(element: Element, model: ModelNames): Boxed {
  const [condition, then, otherwise] = ['if', 'then', 'else'].map((name) => {
    const part = child(element, name);
    return part ? boxedBelow(part, model) : () => null;
  });
  return (lookup) => (condition?.(lookup) === true ? then?.(lookup) : otherwise?.(lookup)) ?? null;
}

/** A function with its parameters typed; of another kind than FEEL it gives null. */
export function boxedFunction(element: Element, model: ModelNames): Boxed {
  const parameters = children(element, 'formalParameter').map((parameter) => ({
    name: attribute(parameter, 'name') ?? '',
    type: attribute(parameter, 'typeRef'),
  }));
  const names = parameters.map(({ name }) => name);
  const body = ['FEEL', undefined].includes(attribute(element, 'kind'))
    ? boxedBelow(element, withNames(model, names))
    : () => null;
  return (lookup) =>
    new FeelFunction(names, (args, given) => {
      const values = argumentsByName(names, args, given);
      if (!values) return null;
      const bound = new Map<string, FeelValue>();
      for (const [i, { name, type }] of parameters.entries()) {
        const value = values[i] ?? null;
        const fitted = model.types.fit(value, type);
        if (fitted === null && value !== null) return null;
        bound.set(name, fitted);
      }
      return body(lookupWith(lookup, bound));
    });
}

function boxedTable(element: Element, model: ModelNames): Boxed {
  const inputs = children(element, 'input').map((input) => {
    const expression = child(input, 'inputExpression');
    return textExpression(textIn(expression) ?? '', model);
  });
  const outputs = children(element, 'output');
  const names = outputs.map((output) => attribute(output, 'name') ?? '');
  const rules = children(element, 'rule').map((rule) => ({
    cells: children(rule, 'inputEntry').map((entry) => tableCell(textIn(entry)?.trim() ?? '-', model)),
    outputs: children(rule, 'outputEntry').map((entry) => textExpression(textIn(entry) ?? '', model)),
  }));
  const shape = (hit: Hit): FeelValue =>
    outputs.length === 1 ? (hit[0] ?? null) : new Map(names.map((name, i) => [name, hit[i] ?? null]));
  const defaults = outputs.map((output) => textIn(child(output, 'defaultOutputEntry')));
  const otherwise = defaults.map((text) => textExpression(text ?? 'null', model));
  const priorities = outputs
    .map((output) => textIn(child(output, 'outputValues')))
    .map((text) => (text === undefined ? undefined : textExpression(`[${text}]`, model)));
  return (lookup) => {
    const columns = inputs.map((run) => run(lookup));
    const hits = rules
      .filter(({ cells }) => cells.every((holds, i) => holds(columns[i] ?? null, lookup)))
      .map((rule) => rule.outputs.map((run) => run(lookup)));
    const decided: HitRules = {
      policy: attribute(element, 'hitPolicy') ?? 'UNIQUE',
      aggregation: attribute(element, 'aggregation'),
      priorities: priorities.map((run) => {
        const values = run?.(lookup);
        return isList(values) ? values : undefined;
      }),
      shape,
      otherwise: defaults.every((text) => text === undefined) ? null : shape(otherwise.map((run) => run(lookup))),
    };
    return resultOf(hits, decided);
  };
}

type CellHolds = (column: FeelValue, lookup: WideLookup) => boolean;

function tableCell(text: string, model: ModelNames): CellHolds {
  if (text === '') return () => true;
  try {
    const run = compileCell(parseCell(text, { ...model, dialect: 'wide' }));
    return (column, lookup) => run(column, lookup) === true;
  } catch (error) {
    if (error instanceof SyntaxFault) return () => false;
    throw error;
  }
}
