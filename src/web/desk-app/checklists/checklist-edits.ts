import type { AnswerTest, Checklist, ChecklistItem } from '../../../inspections/inspections.contract.js';
import { freeId, withEntry, withMoved, withValue } from '../parts/document-edits.js';

// Changes that touch more than one place of a checklist. A draft may have faults at any time; the contract's checker names them.

/** Where a check stands: number of its section, and of itself within it. */
export interface ItemPlace {
  readonly section: number;
  readonly index: number;
}

export function pointerOf({ section, index }: ItemPlace): string {
  return `#/sections/${section}/items/${index}`;
}

/** Every check with its place, in the order in which a crew comes to them. */
export function placedItems(checklist: Checklist): readonly (ItemPlace & { readonly item: ChecklistItem })[] {
  return checklist.sections.flatMap(({ items }, section) => items.map((item, index) => ({ section, index, item })));
}

/** A check that stands before another one. */
export function earlierThan(checklist: Checklist, place: ItemPlace): readonly ChecklistItem[] {
  return placedItems(checklist)
    .filter(({ section, index }) => section < place.section || (section === place.section && index < place.index))
    .map(({ item }) => item);
}

/** Adds a check to a section, behind the one at `index` − 1. @returns the draft and where the new check stands */
export function addItem(checklist: Checklist, place: ItemPlace): Checklist {
  const taken = placedItems(checklist).map(({ item }) => item.id);
  const item: ChecklistItem = { id: freeId('new-check', taken), ask: { en: '' }, answer: { type: 'yes-no' } };
  return withEntry(checklist, `#/sections/${place.section}/items`, item, place.index);
}

/** Moves a check one place up or down; at the edge of its section it goes over into the next. @returns the draft and its new place */
export function moveItem(
  checklist: Checklist,
  place: ItemPlace,
  by: 1 | -1,
): { readonly checklist: Checklist; readonly place: ItemPlace } {
  const { section, index } = place;
  const items = checklist.sections[section]?.items ?? [];
  const item = items[index];
  if (item === undefined) return { checklist, place };
  const to = index + by;
  if (to >= 0 && to < items.length) {
    const list = `#/sections/${section}/items`;
    return { checklist: withMoved(checklist, list, index, to), place: { section, index: to } };
  }
  const next = checklist.sections[section + by];
  if (next === undefined) return { checklist, place };
  const without = withValue(checklist, `#/sections/${section}/items`, items.toSpliced(index, 1));
  const at = by === 1 ? 0 : next.items.length;
  return {
    checklist: withEntry(without, `#/sections/${section + by}/items`, item, at),
    place: { section: section + by, index: at },
  };
}

/** Gives a check another id; conditions that look at it follow. */
export function renameItem(checklist: Checklist, place: ItemPlace, id: string): Checklist {
  const old = checklist.sections[place.section]?.items[place.index]?.id;
  const renamed = withValue(checklist, `${pointerOf(place)}/id`, id);
  const twice = placedItems(checklist).filter(({ item }) => item.id === old).length > 1;
  if (old === undefined || twice) return renamed;
  return eachItem(renamed, (item) =>
    item.askIf === undefined
      ? item
      : {
          ...item,
          askIf: item.askIf.map((condition) => (condition.item === old ? { ...condition, item: id } : condition)),
        },
  );
}

/** Gives an answer to choose from another id; every test that names it follows. */
export function renameChoice(checklist: Checklist, place: ItemPlace, choice: number, id: string): Checklist {
  const item = checklist.sections[place.section]?.items[place.index];
  if (item?.answer.type !== 'choice') return checklist;
  const old = item.answer.choices[choice]?.id;
  if (old === undefined) return checklist;
  const follow = (test: AnswerTest): AnswerTest => {
    if ('is' in test) return { is: test.is.map((each) => (each === old ? id : each)) };
    if ('isNot' in test) return { isNot: test.isNot.map((each) => (each === old ? id : each)) };
    return test;
  };
  const renamed = withValue(checklist, `${pointerOf(place)}/answer/choices/${choice}/id`, id);
  return eachItem(renamed, (each) =>
    each.id === item.id ? withOwnTests(each, follow) : withConditionsOn(item.id, each, follow),
  );
}

/** Gives a safety stop another id; checks that raise it follow. */
export function renameStop(checklist: Checklist, index: number, id: string): Checklist {
  const old = checklist.stops[index]?.id;
  return eachItem(withValue(checklist, `#/stops/${index}/id`, id), (item) =>
    item.raises === undefined
      ? item
      : { ...item, raises: item.raises.map((raise) => (raise.stop === old ? { ...raise, stop: id } : raise)) },
  );
}

function withOwnTests(item: ChecklistItem, follow: (test: AnswerTest) => AnswerTest): ChecklistItem {
  const { photos, yields, raises } = item;
  return {
    ...item,
    ...(photos === undefined
      ? {}
      : { photos: photos.map((each) => (each.when === undefined ? each : { ...each, when: follow(each.when) })) }),
    ...(yields === undefined ? {} : { yields: yields.map((each) => ({ ...each, when: follow(each.when) })) }),
    ...(raises === undefined ? {} : { raises: raises.map((each) => ({ ...each, when: follow(each.when) })) }),
  };
}

function withConditionsOn(id: string, item: ChecklistItem, follow: (test: AnswerTest) => AnswerTest): ChecklistItem {
  if (item.askIf === undefined) return item;
  return {
    ...item,
    askIf: item.askIf.map((each) => (each.item === id ? { ...each, test: follow(each.test) } : each)),
  };
}

function eachItem(checklist: Checklist, change: (item: ChecklistItem) => ChecklistItem): Checklist {
  return {
    ...checklist,
    sections: checklist.sections.map((section) => ({ ...section, items: section.items.map(change) })),
  };
}

/** A checklist to begin with: its cautions are those that hold for every unit that is lifted and plugged in. */
export function beginningOf(id: string, family: Checklist['family'], title: Checklist['title']): Checklist {
  return {
    format: 'checklist/1',
    id,
    version: 1,
    family,
    title,
    cautions: [
      {
        en: 'Lift and turn with two people, backs straight, path clear; set down before you change grip.',
        es: 'Levante y gire entre dos, espalda recta, camino libre; baje antes de cambiar el agarre.',
      },
      {
        en: 'Keep the cord out of the wall until the list asks you to plug in.',
        es: 'Mantenga el cable fuera de la pared hasta que la lista pida enchufar.',
      },
      { en: 'Never open a motor, supply or battery.', es: 'Nunca abra un motor, fuente o batería.' },
    ],
    sections: [
      {
        id: 'before-lifting',
        title: { en: 'Before lifting', es: 'Antes de levantar' },
        items: [
          {
            id: 'crew-size',
            ask: { en: 'How many people are here to lift?', es: '¿Cuántas personas hay para levantar?' },
            answer: { type: 'number', unit: 'people', min: 1, max: 8 },
            raises: [{ when: { below: 2 }, stop: 'alone-with-two-person-lift' }],
          },
        ],
      },
    ],
    stops: [
      {
        id: 'alone-with-two-person-lift',
        says: { en: 'This lift takes two people.', es: 'Para levantar esto hacen falta dos personas.' },
        do: [
          { en: 'Do not lift it alone.', es: 'No lo levante usted solo.' },
          { en: 'Call for a second person.', es: 'Llame a una segunda persona.' },
        ],
      },
    ],
  };
}
