import { describe, expect, it } from 'vitest';
import { formatPolicy } from '../../../../policies/wording.contract.js';
import type { PolicyDocument } from '../../../../policies/policies.contract.js';
import { rule, smallDocument } from '../../../../../tests/support/small-policy.js';
import { shippedPolicy } from '../../../../../tests/support/shipped-policy.js';
import { readDocument } from './read-document.js';
import { gridOf, partsOf } from './sheet-parts.js';

const { document } = shippedPolicy('us');
const text = formatPolicy(document);
const { id } = document;

/** One of everything. */
const SMALL: PolicyDocument = smallDocument(
  [
    {
      id: 'out',
      title: 'Out',
      gives: { out: { type: 'enum', values: ['a', 'b'] }, rank: { type: 'integer', min: 0 } },
      table: {
        hit: 'first',
        columns: { days: 'days' },
        rules: [{ ...rule('R-1', { days: '> 3' }, { out: 'a', rank: 1 }), overrides: ['R-2'], because: 'So.' }],
        otherwise: { out: 'b', rank: 2 },
      },
    },
    { id: 'half', gives: { half: { type: 'decimal' } }, expression: 'price paid / 2' },
  ],
  {
    clocks: document.clocks?.slice(0, 1) ?? [],
    examples: [{ id: 'one', on: '2026-03-01', decisions: ['out'], given: { days: 9 }, expect: { out: 'a' } }],
  },
);

/** Every value of a JSON document with the way to it. */
function ways(value: unknown, way: readonly (string | number)[] = []): (readonly (string | number)[])[] {
  if (typeof value !== 'object' || value === null) return [way];
  return [way, ...Object.entries(value).flatMap(([key, each]) => ways(each, [...way, key]))];
}

/** The document with the value at one way exchanged. */
function exchanged(way: readonly (string | number)[], by: unknown, of: PolicyDocument = document): string {
  const copy = structuredClone(of) as unknown as Record<string, unknown>;
  let at: Record<string | number, unknown> = { '': copy };
  const steps = ['', ...way];
  for (const step of steps.slice(0, -1)) at = at[step] as Record<string | number, unknown>;
  at[steps.at(-1) ?? ''] = by;
  return JSON.stringify(at[''] ?? copy);
}

describe('a document that was written as text', () => {
  it('comes back as it is', () => {
    expect(readDocument(text, id)).toEqual({ document });
  });

  it.each([
    ['{', /^It is not JSON: /],
    ['[]', /from { to }/],
    [text.replace(id, 'other'), /Its id must stay us-powered-furniture/],
    [exchanged(['decisions', 0, 'table', 'rules', 1, 'when'], undefined), /NOT-US-20: when must be an object of texts/],
    [exchanged(['parameters'], []), /parameters must be an object/],
    [exchanged(['examples', 2, 'id'], 7), /Number 3 of examples has no id/],
  ])('is refused in a sentence: %.30s', (written, sentence) => {
    expect(readDocument(written, id)).toEqual({ wrong: expect.stringMatching(sentence) as string });
  });

  // Whatever is taken over has to be shown afterwards: a sheet that breaks on its own draft would be lost with everything in it.
  it('is refused or can be shown, whatever stands in any of its places', () => {
    let shown = 0;
    for (const way of ways(SMALL)) {
      for (const odd of [undefined, null, 7, 'x', true, [], {}, [null], { x: null }]) {
        const read = readDocument(exchanged(way, odd, SMALL), SMALL.id);
        if ('wrong' in read) continue;
        shown += 1;
        for (const [part] of partsOf(read.document)) {
          const texts = (gridOf(read.document, part)?.rows ?? []).flatMap((row) => row.texts);
          expect(new Set(texts.map((each) => typeof each)).difference(new Set(['string'])), way.join('/')).toEqual(
            new Set(),
          );
        }
      }
    }
    expect(shown).toBeGreaterThan(200);
  });
});
