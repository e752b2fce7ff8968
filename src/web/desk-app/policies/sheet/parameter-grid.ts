import type { Parameter, PolicyDocument } from '../../../../policies/policies.contract.js';
import { withEntry } from './decision-grid.js';
import type { GridColumn, GridModel } from './grid-model.js';
import { wholeOf } from './written-values.js';

const COLUMNS: readonly GridColumn[] = [
  { id: 'name', head: 'Parameter', takes: 'its name; cells and clocks read it by this', part: 'name', fixed: true },
  { id: 'from', head: 'From', takes: 'the first day on which it holds, like 2026-03-01', part: 'condition' },
  { id: 'value', head: 'Value', takes: 'a number; decimals with a point', part: 'outcome' },
  { id: 'unit', head: 'Unit', takes: 'what it counts', part: 'words' },
  { id: 'because', head: 'Because', takes: 'the reason, in a sentence', part: 'words' },
  { id: 'source', head: 'Source', takes: 'law, contract or custom', part: 'words' },
];

/** One value of one parameter. */
interface Dated {
  readonly name: string;
  readonly at: number;
}

function datedValues(document: PolicyDocument): readonly Dated[] {
  return Object.entries(document.parameters).flatMap(([name, { values }]) => values.map((_, at) => ({ name, at })));
}

/** All values of all parameters; a value holds from its day until the next one's. */
export function parameterGrid(document: PolicyDocument): GridModel {
  const rows = datedValues(document).map(({ name, at }) => {
    const { unit, values, type } = document.parameters[name]!;
    const { from, value, because = '', source = '' } = values[at]!;
    const texts = [`${name} (${type})`, from, String(value), unit ?? '', because, source];
    return { key: `${name} ${at}`, texts };
  });
  return { label: 'Values of the parameters', columns: COLUMNS, rows, movable: 0 };
}

/** Row of a parameter's first value; undefined where there is no such parameter. */
export function rowOfParameter(document: PolicyDocument, name: string, from?: string): number | undefined {
  const values = datedValues(document);
  const exact = values.findIndex(
    (each) => each.name === name && document.parameters[name]?.values[each.at]?.from === from,
  );
  const row = exact >= 0 ? exact : values.findIndex((each) => each.name === name);
  return row < 0 ? undefined : row;
}

/** Writes a cell of the grid above. */
export function writeParameter(document: PolicyDocument, row: number, column: string, text: string): PolicyDocument {
  const dated = datedValues(document)[row];
  const parameter = dated && document.parameters[dated.name];
  if (dated === undefined || parameter === undefined) return document;
  return withParameter(document, dated.name, written(parameter, dated.at, column, text.trim()));
}

function written(parameter: Parameter, at: number, column: string, text: string): Parameter {
  if (column === 'unit') {
    const { unit: _, ...rest } = parameter;
    return text === '' ? rest : { ...rest, unit: text };
  }
  const dated = parameter.values[at]!;
  const { because: _because, source: _source, ...bare } = dated;
  const words = { because: dated.because ?? '', source: dated.source ?? '', [column]: text };
  const next = {
    ...bare,
    ...(column === 'from' ? { from: text } : {}),
    ...(column === 'value' ? { value: parameter.type === 'integer' ? (wholeOf(text) ?? text) : text } : {}),
    ...(words.because === '' ? {} : { because: words.because }),
    ...(words.source === '' ? {} : { source: words.source }),
  };
  return { ...parameter, values: parameter.values.with(at, next) };
}

/** A further value of the parameter in a row, to begin on a day that has still to be written. @returns it and its row */
export function addParameterValue(
  document: PolicyDocument,
  row: number,
): { readonly document: PolicyDocument; readonly row: number } {
  const values = datedValues(document);
  const dated = values[row];
  const parameter = dated && document.parameters[dated.name];
  if (dated === undefined || parameter === undefined) return { document, row };
  const { value } = parameter.values[dated.at]!;
  const next = { ...parameter, values: parameter.values.toSpliced(dated.at + 1, 0, { from: '', value }) };
  return { document: withParameter(document, dated.name, next), row: row + 1 };
}

/** A value goes; with its only value the parameter does. */
export function removeParameterValue(document: PolicyDocument, row: number): PolicyDocument {
  const dated = datedValues(document)[row];
  const parameter = dated && document.parameters[dated.name];
  if (dated === undefined || parameter === undefined) return document;
  const values = parameter.values.toSpliced(dated.at, 1);
  return withParameter(document, dated.name, values.length === 0 ? undefined : { ...parameter, values });
}

/** A parameter with its first value. */
export function addParameter(document: PolicyDocument, name: string, parameter: Parameter): PolicyDocument {
  return withParameter(document, name, parameter);
}

function withParameter(document: PolicyDocument, name: string, parameter: Parameter | undefined): PolicyDocument {
  return { ...document, parameters: withEntry(document.parameters, name, parameter) };
}
