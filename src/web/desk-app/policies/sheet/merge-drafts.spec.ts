import { describe, expect, it } from 'vitest';
import type { PolicyDocument } from '../../../../policies/policies.contract.js';
import { rule, smallDocument } from '../../../../../tests/support/small-policy.js';
import { moveRule, removeRule, addRule, withDecision } from './document-edits.js';
import { begun, edited, isSameDraft, isSameValue, redo, undo, type Draft } from './draft-history.js';
import { changesBetween, changeWords, mergeDrafts } from './merge-drafts.js';
import { documentWith, gridOf, partOfDecision } from './sheet-parts.js';

const document = smallDocument([
  {
    id: 'out',
    gives: { out: { type: 'enum', values: ['a', 'b'] } },
    table: {
      hit: 'first',
      columns: { days: 'days', noted: 'noted' },
      rules: [
        rule('R-10', { days: '> 5' }, { out: 'a' }),
        rule('R-20', { days: '> 3' }, { out: 'b' }),
        rule('R-30', { noted: 'true' }, { out: 'a' }),
      ],
    },
  },
]);
const PART = partOfDecision('out');
const draft = (of: PolicyDocument, effectiveFrom = '2026-06-01'): Draft => ({ document: of, effectiveFrom });
const base = draft(document);
const write = (row: number, head: string, text: string, of = document): PolicyDocument =>
  documentWith(of, PART, { row, column: gridOf(of, PART)!.columns.findIndex((each) => each.head === head) }, text);
const ids = ({ document: of }: Draft) => of.decisions[0]?.table?.rules.map(({ id }) => id);

describe('two people’s changes of one draft', () => {
  it('that touch different cells are both there', () => {
    const {
      draft: merged,
      theirs,
      both,
    } = mergeDrafts(base, draft(write(0, 'days', '> 6')), draft(write(1, 'noted', 'false'), '2026-07-01'));
    expect(merged).toEqual(draft(write(1, 'noted', 'false', write(0, 'days', '> 6')), '2026-07-01'));
    expect(both).toEqual([]);
    expect(theirs.map(changeWords)).toEqual([
      'effectiveFrom: was 2026-06-01, is 2026-07-01',
      'out \u203a R-20 \u203a noted: added, false',
    ]);
  });

  it('that touch the same cell leave one’s own, and say so', () => {
    const { draft: merged, both } = mergeDrafts(base, draft(write(0, 'days', '> 6')), draft(write(0, 'days', '> 7')));
    expect(merged.document.decisions[0]?.table?.rules[0]?.when).toEqual({ days: '> 6' });
    expect(both).toEqual([
      {
        path: ['document', 'decisions', 'out', 'table', 'rules', 'R-10', 'when', 'days'],
        was: '> 5',
        becomes: '> 6',
        theirs: '> 7',
      },
    ]);
  });

  it('that are the same are no quarrel', () => {
    const same = draft(write(0, 'days', '> 6'));
    expect(mergeDrafts(base, same, draft(write(0, 'days', '> 6')))).toMatchObject({ both: [], draft: same });
  });

  it('keep new, moved and removed rows of both', () => {
    const mine = addRule(document, 'out', 0);
    const theirs = removeRule(document, 'out', 1);
    expect(ids(mergeDrafts(base, draft(mine), draft(theirs)).draft)).toEqual(['R-10', 'R-15', 'R-30']);
    expect(ids(mergeDrafts(base, draft(theirs), draft(mine)).draft)).toEqual(['R-10', 'R-15', 'R-30']);
    const moved = moveRule(document, 'out', 2, 0);
    expect(ids(mergeDrafts(base, draft(moved), draft(mine)).draft)).toEqual(['R-30', 'R-10', 'R-15', 'R-20']);
    expect(ids(mergeDrafts(base, draft(mine), draft(moved)).draft)).toEqual(['R-30', 'R-10', 'R-15', 'R-20']);
  });

  it('keep a row that one has written in and the other took out, and say so', () => {
    const { draft: merged, both } = mergeDrafts(
      base,
      draft(write(1, 'days', '> 4')),
      draft(removeRule(document, 'out', 1)),
    );
    expect(ids(merged)).toEqual(['R-10', 'R-20', 'R-30']);
    expect(both.map(({ path }) => path.at(-1))).toEqual(['R-20']);
  });

  it('are told in words, also where things only changed places', () => {
    const moved = moveRule(document, 'out', 2, 0);
    expect(changesBetween(document, moved)).toEqual([
      {
        path: ['decisions', 'out', 'table', 'rules'],
        was: ['R-10', 'R-20', 'R-30'],
        becomes: ['R-30', 'R-10', 'R-20'],
      },
    ]);
    expect(changeWords({ path: ['title'], was: 'x'.repeat(200) })).toContain('taken out, was xxx');
    expect(
      changesBetween(
        document,
        withDecision(document, 'out', (of) => ({ ...of })),
      ),
    ).toEqual([]);
  });
});

describe('the way back', () => {
  const place = { part: PART, row: 0, column: 1 };
  const first = draft(write(0, 'days', '> 6'));
  const second = draft(write(0, 'days', '> 7'));

  it('leads through every edit and forth again, each with its place', () => {
    const history = edited(edited(begun(base), first, place), second, { part: 'about' });
    const once = undo(history);
    expect([once?.now, once?.place]).toEqual([first, { part: 'about' }]);
    const twice = undo(once!);
    expect([twice?.now, twice?.place]).toEqual([base, place]);
    expect(undo(twice!)).toBeUndefined();
    const again = redo(twice!);
    expect([again?.now, again?.place]).toEqual([first, place]);
    expect(redo(redo(again!)!)).toBeUndefined();
  });

  it('forgets what was undone once something else is written, and counts no edit that changes nothing', () => {
    const back = undo(edited(begun(base), first, place))!;
    expect(edited(back, second, place).undone).toEqual([]);
    expect(edited(back, draft(write(0, 'days', '> 5')), place)).toBe(back);
  });

  it('keeps the last 200 edits', () => {
    let history = begun(base);
    for (let n = 0; n < 230; n += 1) history = edited(history, draft(write(0, 'days', `> ${n + 10}`)), place);
    expect(history.past.length).toBe(200);
  });

  it('takes members of objects as the same in any order, as the service stores them', () => {
    expect(isSameValue({ a: 1, b: [1, 2] }, { b: [1, 2], a: 1 })).toBe(true);
    expect(isSameValue({ a: 1, b: undefined }, { a: 1 })).toBe(true);
    expect(isSameValue({ b: [1, 2] }, { b: [2, 1] })).toBe(false);
    expect(isSameValue([], {})).toBe(false);
    expect(isSameDraft(base, { ...base, effectiveTo: '2027-01-01' })).toBe(false);
  });
});
