import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { checkChecklist, type Checklist } from '../../../inspections/inspections.contract.js';
import { FAMILIES } from '../../../kernel/vocabulary.js';
import { checklistDifference, isSame } from './checklist-difference.js';
import {
  addItem,
  beginningOf,
  earlierThan,
  moveItem,
  placedItems,
  renameChoice,
  renameItem,
  renameStop,
} from './checklist-edits.js';
import { itemById } from './checklist-words.js';
import { missingSpanish } from './missing-spanish.js';
import { answersThatAsk } from './way-to-check.js';

// The shipped checklists are the documents outside: whatever is done to them here is judged by the checker of the contract.
const shipped = ['bed-base', 'lift-chair', 'standing-desk'].map(
  (id) =>
    JSON.parse(
      readFileSync(new URL(`../../../inspections/shipped/${id}.1.json`, import.meta.url), 'utf8'),
    ) as Checklist,
);
const [bed] = shipped as [Checklist, ...Checklist[]];
const faultsOf = (document: unknown): readonly string[] => {
  const checked = checkChecklist(document);
  return checked.ok ? [] : checked.faults.map(({ pointer }) => pointer);
};
const placeOf = (checklist: Checklist, id: string) => {
  const found = placedItems(checklist).find(({ item }) => item.id === id);
  if (found === undefined) throw new Error(`no check ${id}`);
  return { section: found.section, index: found.index };
};
const unit = {
  serial: 'DR7K204518',
  packingList: [
    { part: 'F', component: 'frame', pieces: 1 },
    { part: 'L', component: 'leg', pieces: 4 },
    { part: 'M', component: 'motor', pieces: 2 },
    { part: 'E', component: 'electronics', pieces: 1 },
  ],
} as const;

describe('a checklist under change', () => {
  it('stays free of faults when a check that others look at gets another id', () => {
    const target = bed.sections.flatMap(({ items }) => items).find((item) => item.askIf)?.askIf?.[0]?.item ?? '';
    const renamed = renameItem(bed, placeOf(bed, target), 'another-name');
    expect(faultsOf(renamed)).toEqual([]);
    expect(JSON.stringify(renamed)).not.toContain(`"item":"${target}"`);
  });

  it('stays free of faults when an answer, and a safety stop, get another id', () => {
    for (const { item, section, index } of placedItems(bed)) {
      if (item.answer.type !== 'choice') continue;
      const renamed = renameChoice(bed, { section, index }, 0, 'another-answer');
      expect(faultsOf(renamed), item.id).toEqual([]);
    }
    expect(bed.stops.flatMap((_stop, index) => faultsOf(renameStop(bed, index, 'another-stop')))).toEqual([]);
  });

  it('leaves the ids of others alone while two checks have the same one', () => {
    const twice = renameItem(addItem(bed, { section: 0, index: 1 }), { section: 0, index: 1 }, 'crew-size');
    const mended = renameItem(twice, { section: 0, index: 1 }, 'crew-again');
    expect(itemById(mended, 'crew-size')).toEqual(itemById(bed, 'crew-size'));
  });

  it('says by its faults that a new check has no words yet', () => {
    expect(faultsOf(addItem(bed, { section: 0, index: 0 }))).toEqual(['#/sections/0/items/0/ask/en']);
  });

  it('moves a check within its section, over its edge, and not beyond the ends', () => {
    const last = (bed.sections[0]?.items.length ?? 0) - 1;
    const id = bed.sections[0]?.items[last]?.id;
    const over = moveItem(bed, { section: 0, index: last }, 1);
    expect(over.place).toEqual({ section: 1, index: 0 });
    expect(over.checklist.sections[1]?.items[0]?.id).toBe(id);
    const back = moveItem(over.checklist, over.place, -1);
    expect(back.checklist).toEqual(bed);
    expect(moveItem(bed, { section: 0, index: 0 }, -1).checklist).toBe(bed);
  });

  it('names a condition that looks forward after a move, as the checker of the contract does', () => {
    const [asked] = placedItems(bed).filter(({ item }) => item.askIf !== undefined);
    if (asked === undefined) throw new Error('the shipped checklist has conditions');
    let at = { section: asked.section, index: asked.index };
    let checklist = bed;
    while (at.section > 0 || at.index > 0) ({ checklist, place: at } = moveItem(checklist, at, -1));
    expect(faultsOf(checklist)).toContain('#/sections/0/items/0/askIf/0/item');
    expect(earlierThan(checklist, at)).toEqual([]);
  });

  it('begins without faults and in both languages', () => {
    for (const family of FAMILIES) {
      const begun = beginningOf('new-list', family, { en: 'New', es: 'Nueva' });
      expect([faultsOf(begun), missingSpanish(begun)]).toEqual([[], []]);
    }
  });
});

describe('what a reader is told of a checklist', () => {
  it('lists every text without Spanish, and only those', () => {
    for (const checklist of shipped) {
      // Counted in another way: by the text of the file.
      const text = JSON.stringify(checklist);
      const english = text.match(/"en":/g)?.length ?? 0;
      const spanish = text.match(/"es":/g)?.length ?? 0;
      expect(missingSpanish(checklist)).toHaveLength(english - spanish);
    }
    const { es: _es, ...en } = bed.title;
    expect(missingSpanish({ ...bed, title: en })).toContain('#/title');
  });

  it('finds answers after which each check of the shipped checklists is asked', () => {
    for (const checklist of shipped)
      for (const { item } of placedItems(checklist)) {
        const answers = answersThatAsk(checklist, item.id, unit);
        expect(answers, `${checklist.id}: ${item.id}`).toBeDefined();
        expect(answers?.length === 0).toBe(item.askIf === undefined);
      }
  });

  it('finds none where conditions cannot hold together', () => {
    const both = [
      { item: 'first', test: { is: ['yes'] } },
      { item: 'first', test: { is: ['no'] } },
    ];
    const small: Checklist = {
      ...bed,
      sections: [
        {
          id: 'only',
          title: { en: 'Only' },
          items: [
            { id: 'first', ask: { en: 'First?' }, answer: { type: 'yes-no' } },
            { id: 'never', ask: { en: 'Never?' }, answer: { type: 'yes-no' }, askIf: both },
          ],
        },
      ],
    };
    expect(answersThatAsk(small, 'never', unit)).toBeUndefined();
    expect(answersThatAsk(small, 'nowhere', unit)).toBeUndefined();
  });

  it('tells what was added, taken out, changed and lost between two versions', () => {
    expect(isSame(checklistDifference(bed, structuredClone(bed)))).toBe(true);
    const yielding = placedItems(bed).find(({ item }) => item.yields !== undefined);
    if (yielding === undefined) throw new Error('the shipped checklist yields observations');
    const without: Checklist = {
      ...addItem(bed, { section: 0, index: 0 }),
      sections: addItem(bed, { section: 0, index: 0 }).sections.map((section) => ({
        ...section,
        items: section.items.filter(({ id }) => id !== yielding.item.id),
      })),
    };
    const told = checklistDifference(bed, without);
    expect(told.added.map(({ id }) => id)).toEqual(['new-check']);
    expect(told.removed.map(({ id }) => id)).toEqual([yielding.item.id]);
    expect(told.lost).toEqual([...new Set(yielding.item.yields?.map(({ observation }) => observation))]);
    expect(checklistDifference(bed, moveItem(bed, { section: 0, index: 0 }, 1).checklist).moved).toBe(true);
    const asked = { ...bed, title: { en: 'Another title' } };
    expect(checklistDifference(bed, asked).around).toEqual(['title']);
  });
});
