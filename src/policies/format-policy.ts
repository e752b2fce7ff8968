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
const NAMED = [
  'money',
  'facts',
  'parameters',
  'gives',
  'columns',
  'when',
  'then',
  'otherwise',
  'given',
  'expect',
  'clocks',
];
const WIDTH = 120;

/**
 * A policy document as text in one fixed form, so that two people who change the same policy see only their changes: keys in reading
 * order, two spaces, short lists on one line.
 */
export function formatPolicy(document: PolicyDocument): string {
  return `${written(document, { indent: '', used: 0, isOrdered: true })}\n`;
}

/** Where a value stands: its indent, how many characters are on its line already or come after it, and whether its keys are sorted. */
interface Spot {
  readonly indent: string;
  readonly used: number;
  readonly isOrdered: boolean;
}

function written(value: unknown, { indent, used, isOrdered }: Spot): string {
  const inner = `${indent}  `;
  if (Array.isArray(value)) {
    const isFlat = value.every((item) => typeof item !== 'object' || item === null);
    const line = `[${value.map((item) => JSON.stringify(item)).join(', ')}]`;
    if (value.length === 0 || (isFlat && used + line.length <= WIDTH)) return line;
    const items = value.map((item) => inner + written(item, { indent: inner, used: inner.length + 1, isOrdered }));
    return `[\n${items.join(',\n')}\n${indent}]`;
  }
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  const entries = Object.entries(value).filter(([, item]) => item !== undefined);
  if (entries.length === 0) return '{}';
  const sorted = isOrdered ? entries.toSorted(([a], [b]) => place(a) - place(b)) : entries;
  const lines = sorted.map(([key, item], at) => {
    const start = `${inner}${JSON.stringify(key)}: `;
    const comma = at === sorted.length - 1 ? 0 : 1;
    return start + written(item, { indent: inner, used: start.length + comma, isOrdered: !NAMED.includes(key) });
  });
  return `{\n${lines.join(',\n')}\n${indent}}`;
}

function place(key: string): number {
  const at = ORDER.indexOf(key);
  return at === -1 ? ORDER.length : at;
}
