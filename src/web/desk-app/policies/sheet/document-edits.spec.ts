import { describe, expect, it } from 'vitest';
import { compilePolicy, type PolicyDocument } from '../../../../policies/policies.contract.js';
import { shippedPolicy } from '../../../../../tests/support/shipped-policy.js';
import { rule, smallDocument } from '../../../../../tests/support/small-policy.js';
import { decisionGrid } from './decision-grid.js';
import {
  addColumn,
  addOtherwise,
  addRule,
  freeId,
  moveRule,
  putExample,
  removeColumn,
  removeExample,
  removeOtherwise,
  removeRule,
  writeHit,
} from './document-edits.js';
import { documentWith, gridOf, partAt, partOfDecision, partsOf } from './sheet-parts.js';

const PART = partOfDecision('out');
const document = smallDocument([
  {
    id: 'out',
    gives: { out: { type: 'enum', values: ['a', 'b'] }, rank: { type: 'integer' } },
    table: {
      hit: 'first',
      columns: { noted: 'noted', days: 'days' },
      rules: [
        { ...rule('R-10', { days: '> 5' }, { out: 'a', rank: 1 }), because: 'Late.' },
        { ...rule('R-20', { days: '> 3', noted: 'true' }, { out: 'b', rank: 2 }), overrides: ['R-10'] },
      ],
      otherwise: { out: 'b', rank: 3 },
    },
  },
]);
const table = (of: PolicyDocument) => of.decisions[0]!.table!;
const texts = (of: PolicyDocument): readonly (readonly string[])[] => gridOf(of, PART)!.rows.map((row) => row.texts);
const write = (row: number, head: string, text: string, of = document): PolicyDocument => {
  const column = gridOf(of, PART)!.columns.findIndex((each) => each.head === head);
  return documentWith(of, PART, { row, column }, text);
};

describe('a table as a grid', () => {
  it('has the columns that most rules fill first, then outcomes, reasons and exceptions; otherwise is the last row', () => {
    const grid = decisionGrid(document, document.decisions[0]!);
    expect(grid.columns.map(({ head }) => head)).toEqual([
      'Rule',
      'days',
      'noted',
      'out',
      'rank',
      'Because',
      'Source',
      'Exception to',
    ]);
    expect(texts(document)).toEqual([
      ['R-10', '> 5', '', 'a', '1', 'Late.', '', ''],
      ['R-20', '> 3', 'true', 'b', '2', '', '', 'R-10'],
      ['otherwise', '', '', 'b', '3', '', '', ''],
    ]);
    expect([grid.movable, [...(grid.rows[2]?.fixed ?? [])]]).toEqual([
      2,
      ['id', 'days', 'noted', 'source', 'overrides'],
    ]);
  });

  it('offers what a column can be: values with quotes in conditions, without in outcomes', () => {
    const [, , noted, out] = gridOf(document, PART)!.columns;
    expect(noted?.offers).toEqual(['true', 'false']);
    expect(out?.offers).toEqual(['a', 'b']);
  });

  it('leaves rows that were not touched the same things, so that they are not drawn again', () => {
    const before = gridOf(document, PART)!;
    const after = gridOf(write(0, 'days', '> 6'), PART)!;
    expect(after.columns).toBe(before.columns);
    expect(after.rows[1]).toBe(before.rows[1]);
    expect(after.rows[0]).not.toBe(before.rows[0]);
    expect(after.rows[0]?.key).toBe(before.rows[0]?.key);
  });
});

describe('an edit of a table', () => {
  it('writes a condition, and leaves it out where anything matches', () => {
    expect(table(write(0, 'days', ' > 6 ')).rules[0]?.when).toEqual({ days: '> 6' });
    for (const empty of ['', '  ', '-'])
      expect(table(write(1, 'noted', empty)).rules[1]?.when).toEqual({ days: '> 3' });
  });

  it('writes outcomes, reasons and exceptions, of a rule and of the last row', () => {
    expect(table(write(0, 'rank', '4')).rules[0]?.then).toEqual({ out: 'a', rank: 4 });
    expect(table(write(0, 'Because', '')).rules[0]).not.toHaveProperty('because');
    expect(table(write(1, 'Exception to', 'R-10, R-30')).rules[1]?.overrides).toEqual(['R-10', 'R-30']);
    expect(table(write(2, 'rank', '9')).otherwise).toEqual({ out: 'b', rank: 9 });
    expect(table(write(2, 'Because', 'Nothing else.')).otherwiseBecause).toBe('Nothing else.');
    expect(write(2, 'days', '> 1')).toEqual(document);
  });

  it('keeps exceptions pointing at a rule that gets another id', () => {
    const next = table(write(0, 'Rule', 'R-11'));
    expect(next.rules.map(({ id, overrides }) => [id, overrides])).toEqual([
      ['R-11', undefined],
      ['R-20', ['R-11']],
    ]);
  });

  it('moves, adds and takes out rules', () => {
    expect(table(moveRule(document, 'out', 1, 0)).rules.map(({ id }) => id)).toEqual(['R-20', 'R-10']);
    expect(moveRule(document, 'out', 1, 2)).toEqual(document);
    const added = table(addRule(document, 'out', 0)).rules[1];
    expect(added).toEqual(rule('R-15', {}, { out: 'a', rank: 1 }));
    expect(table(removeRule(document, 'out', 0)).rules.map(({ id }) => id)).toEqual(['R-20']);
    expect(table(removeOtherwise(document, 'out'))).not.toHaveProperty('otherwise');
    expect(table(addOtherwise(removeOtherwise(document, 'out'), 'out')).otherwise).toEqual({ out: '', rank: '' });
    expect(addOtherwise(document, 'out')).toEqual(document);
  });

  it('finds ids that are free, as wide as those before', () => {
    expect(freeId('R-010', new Set(['R-015', 'R-016']))).toBe('R-017');
    expect(freeId('LAST', new Set())).toBe('LAST-5');
  });

  it('adds columns under names of their own and takes them out with their cells', () => {
    const twice = addColumn(document, 'out', 'days');
    expect(table(twice).columns).toEqual({ noted: 'noted', days: 'days', 'days 2': 'days' });
    const less = table(removeColumn(document, 'out', 'days'));
    expect([less.columns, less.rules.map(({ when }) => when)]).toEqual([{ noted: 'noted' }, [{}, { noted: 'true' }]]);
  });

  it('changes how rules are chosen, and drops a sum that no longer means anything', () => {
    const summed = {
      ...document,
      decisions: [{ ...document.decisions[0]!, table: { ...table(document), hit: 'collect', aggregate: 'sum' } }],
    } as const;
    expect(table(writeHit(summed, 'out', 'unique'))).not.toHaveProperty('aggregate');
    expect(table(writeHit(summed, 'out', 'collect'))).toHaveProperty('aggregate', 'sum');
  });

  it('adds an example, or writes it anew', () => {
    const example = { id: 'one', on: '2026-03-01', given: { days: 9 }, expect: { out: 'a' } };
    const once = putExample(document, example);
    expect(putExample(once, { ...example, on: '2026-04-01' }).examples).toEqual([{ ...example, on: '2026-04-01' }]);
    expect(removeExample(once, 'one').examples).toEqual([]);
  });
});

describe('every cell of the shipped policies', () => {
  it.each(['us', 'eu', 'uk'] as const)('written as it stands leaves the policy %s as it is', (place) => {
    const shipped = shippedPolicy(place).document;
    for (const [part] of partsOf(shipped)) {
      const grid = gridOf(shipped, part);
      grid?.rows.forEach((row, at) =>
        row.texts.forEach((text, column) => {
          if (grid.columns[column]?.fixed === true || row.fixed?.has(grid.columns[column]?.id ?? '') === true) return;
          const next = documentWith(shipped, part, { row: at, column }, text);
          expect(next, `${part}, row ${at}, ${grid.columns[column]?.head}`).toEqual(shipped);
        }),
      );
    }
    expect(compilePolicy(shipped).ok).toBe(true);
  });

  it('have a part for everything, and an address that names none shows the first', () => {
    const shipped = shippedPolicy('us').document;
    expect(partAt(shipped, 'table remedy option')).toBe('table remedy option');
    expect(partAt(shipped, 'nothing')).toBe('table notice');
    expect(partAt(shipped, undefined)).toBe('table notice');
  });
});
