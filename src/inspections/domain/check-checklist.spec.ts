import { describe, expect, it } from 'vitest';
import { SMALL } from '../../../tests/support/checklists.js';
import { checkChecklist } from './check-checklist.js';

type Path = readonly (string | number)[];

function changed(...changes: readonly [Path, unknown][]): unknown {
  const copy: unknown = structuredClone(SMALL);
  for (const [path, value] of changes) {
    const parent = path.slice(0, -1).reduce<unknown>((at, step) => (at as Record<string, unknown>)[step], copy);
    (parent as Record<string, unknown>)[path.at(-1) ?? ''] = value;
  }
  return copy;
}

function faults(document: unknown): { pointer: string; detail: string }[] {
  const outcome = checkChecklist(document);
  return outcome.ok ? [] : [...outcome.faults];
}

const item = (section: number, index: number, ...rest: Path): Path => ['sections', section, 'items', index, ...rest];

describe('a checklist', () => {
  it('is read when it is sound', () => {
    expect(checkChecklist(SMALL)).toEqual({ ok: true, value: SMALL });
  });

  it.each<[string, Path, unknown, string]>([
    ['another format', ['format'], 'checklist/2', '#/format'],
    ['a version of zero', ['version'], 0, '#/version'],
    ['an unknown family', ['family'], 'sofa', '#/family'],
    ['no English', ['title'], { es: 'Lista' }, '#/title'],
    ['a field too many', item(0, 0, 'colour'), 'red', '#/sections/0/items/0/colour'],
    ['an id with blanks', item(0, 0, 'id'), 'how many', '#/sections/0/items/0/id'],
    ['an unknown answer type', item(0, 0, 'answer'), { type: 'guess' }, '#/sections/0/items/0/answer/type'],
    ['an empty section', ['sections', 0, 'items'], [], '#/sections/0/items'],
    ['an item id used twice', item(1, 0, 'id'), 'people', '#/sections/1/items/0/id'],
    ['a section id used twice', ['sections', 1, 'id'], 'first', '#/sections/1/id'],
    ['a stop id used twice', ['stops', 1, 'id'], 'dead', '#/stops/1/id'],
    ['an unknown stop', item(0, 0, 'raises', 0, 'stop'), 'ghost', '#/sections/0/items/0/raises/0/stop'],
    [
      'a choice id used twice',
      item(0, 1, 'answer', 'choices', 1, 'id'),
      'corner',
      '#/sections/0/items/1/answer/choices/1/id',
    ],
    [
      'an unknown choice in a test',
      item(0, 1, 'yields', 0, 'when', 'is'),
      ['scuff'],
      '#/sections/0/items/1/yields/0/when/is/0',
    ],
    ['an empty test', item(0, 1, 'yields', 0, 'when'), {}, '#/sections/0/items/1/yields/0/when'],
    ['an unknown item in a condition', item(0, 2, 'askIf', 0, 'item'), 'ghost', '#/sections/0/items/2/askIf/0/item'],
    [
      'a condition on a later item',
      item(0, 2, 'askIf', 0),
      { item: 'seconds', test: { above: 3 } },
      '#/sections/0/items/2/askIf/0/item',
    ],
    [
      'a condition on itself',
      item(0, 2, 'askIf', 0),
      { item: 'hole-low', test: { is: ['yes'] } },
      '#/sections/0/items/2/askIf/0/item',
    ],
    [
      'an unknown choice in a condition',
      item(0, 2, 'askIf', 0, 'test'),
      { is: ['scuff'] },
      '#/sections/0/items/2/askIf/0/test/is/0',
    ],
    ['a number test on a choice', item(0, 2, 'askIf', 0, 'test'), { above: 3 }, '#/sections/0/items/2/askIf/0/test'],
    [
      'a choice test on a number',
      item(0, 0, 'raises', 0, 'when'),
      { is: ['two'] },
      '#/sections/0/items/0/raises/0/when',
    ],
    [
      'a tolerance test without tolerance',
      item(0, 0, 'raises', 0, 'when'),
      { outOfTolerance: true },
      '#/sections/0/items/0/raises/0/when',
    ],
    ['a count test on a scan', item(1, 0, 'yields', 0, 'when'), { short: true }, '#/sections/1/items/0/yields/0/when'],
    [
      'a scan test on a count',
      item(1, 1, 'yields', 0, 'when'),
      { mismatch: true },
      '#/sections/1/items/1/yields/0/when',
    ],
    ['bounds the wrong way round', item(0, 0, 'answer', 'max'), 0, '#/sections/0/items/0/answer/max'],
    [
      'a tolerance outside its bounds',
      item(1, 2, 'answer', 'tolerance', 'to'),
      400,
      '#/sections/1/items/2/answer/tolerance',
    ],
    ['a photo id used twice', item(0, 1, 'photos', 1, 'id'), 'wide', '#/sections/0/items/1/photos/1/id'],
    [
      'an observation of two items',
      item(1, 2, 'yields', 0, 'observation'),
      'hole',
      '#/sections/1/items/2/yields/0/observation',
    ],
    [
      'a yield of not checked',
      item(1, 2, 'yields', 0, 'sighting'),
      'not checked',
      '#/sections/1/items/2/yields/0/sighting',
    ],
    ['a stop that nothing raises', item(0, 0, 'raises'), [{ when: { below: 2 }, stop: 'dead' }], '#/stops/1'],
  ])('is refused for %s', (_, path, value, expected) => {
    expect(faults(changed([path, value])).map((fault) => fault.pointer)).toContain(expected);
  });

  it('reports every fault at once', () => {
    const found = faults(changed([['version'], 'one'], [item(0, 0, 'colour'), 'red'], [['family'], 'sofa']));
    expect(found.map((fault) => fault.pointer).sort()).toEqual([
      '#/family',
      '#/sections/0/items/0/colour',
      '#/version',
    ]);
  });

  it('names the circle where conditions go round', () => {
    const circle = faults(
      changed(
        [item(0, 1, 'askIf'), [{ item: 'hole-words', test: { is: ['x'] } }]],
        [item(0, 3, 'answer'), { type: 'yes-no' }],
      ),
    );
    expect(circle.map((fault) => fault.pointer)).toEqual(['#/sections/0/items/1/askIf/0/item']);
    expect(circle[0]?.detail).toContain('marks → hole-words → hole-low → marks');
  });

  it.each([null, 7, 'list', [], {}])('is refused when it is %j', (document) => {
    expect(checkChecklist(document).ok).toBe(false);
  });
});
