import type { PolicyDocument } from './policies.contract.js';

/** Keys of a policy document in the order in which people read them; keys that are not here keep their order and come last. */
const ORDER = [
  'format',
  'id',
  'version',
  'title',
  'jurisdiction',
  'caution',
  'governedBy',
  'zone',
  'money',
  'facts',
  'parameters',
  'type',
  'unit',
  'from',
  'value',
  'values',
  'min',
  'max',
  'scale',
  'optional',
  'list',
  'ask',
  'on',
  'decisions',
  'given',
  'expect',
  'gives',
  'expression',
  'table',
  'hit',
  'aggregate',
  'columns',
  'rules',
  'when',
  'then',
  'overrides',
  'because',
  'source',
  'otherwise',
  'otherwiseBecause',
  'clocks',
  'examples',
];
/** Objects whose keys are names that people chose, in an order that means something to them. */
const NAMED = ['facts', 'parameters', 'gives', 'columns', 'when', 'then', 'otherwise', 'given', 'expect', 'clocks'];
const WIDTH = 120;

/**
 * A policy document as text in one fixed form, so that two people who change the same policy see only their changes: keys in reading
 * order, two spaces, short lists on one line.
 */
export function formatPolicy(document: PolicyDocument): string {
  return `${written(document, '', true)}\n`;
}

function written(value: unknown, indent: string, ordered: boolean): string {
  const inner = `${indent}  `;
  if (Array.isArray(value)) {
    const flat = value.every((item) => typeof item !== 'object' || item === null);
    const line = `[${value.map((item) => JSON.stringify(item)).join(', ')}]`;
    if (value.length === 0 || (flat && indent.length + line.length <= WIDTH - 20)) return line;
    return `[\n${value.map((item) => inner + written(item, inner, ordered)).join(',\n')}\n${indent}]`;
  }
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  const entries = Object.entries(value).filter(([, item]) => item !== undefined);
  if (entries.length === 0) return '{}';
  const sorted = ordered ? entries.toSorted(([a], [b]) => place(a) - place(b)) : entries;
  const lines = sorted.map(
    ([key, item]) => `${inner}${JSON.stringify(key)}: ${written(item, inner, !NAMED.includes(key))}`,
  );
  return `{\n${lines.join(',\n')}\n${indent}}`;
}

function place(key: string): number {
  const at = ORDER.indexOf(key);
  return at === -1 ? ORDER.length : at;
}
