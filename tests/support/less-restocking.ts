import { shippedJson } from './resources.js';

interface Rule {
  readonly then: Record<string, unknown>;
}

/** The shipped policy of the United States with another share held back of goods that come back. @param percent in place of the shipped ones */
export function lessRestocking(percent = '12'): Record<string, unknown> {
  const document = shippedJson('policies', 'us-powered-furniture.1');
  const decisions = document['decisions'] as { id: string; table: { rules: Rule[] } }[];
  const rules = decisions.find(({ id }) => id === 'terms')?.table.rules ?? [];
  for (const rule of rules) if (rule.then['restocking percent'] !== '0') rule.then['restocking percent'] = percent;
  const examples = document['examples'] as { id: string; expect: Record<string, unknown> }[];
  for (const { expect: expected } of examples) delete expected['restocking percent'];
  return document;
}
