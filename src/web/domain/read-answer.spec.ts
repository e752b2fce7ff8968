import { describe, expect, it } from 'vitest';
import type { AnswerKind, UnitInHand } from '../../inspections/inspections.contract.js';
import { piecesField, readAnswer } from './read-answer.js';

const UNIT: UnitInHand = {
  serial: 'A1',
  packingList: [
    { part: 'LEG-4', component: 'leg', pieces: 4 },
    { part: 'HS-1', component: 'electronics', pieces: 1 },
  ],
};

function read(kind: AnswerKind, fields: Record<string, string | string[]>, photos: string[] = []) {
  const all = (name: string) => [fields[name] ?? []].flat();
  return readAnswer(kind, { all, text: (name) => all(name)[0] ?? '' }, UNIT, photos);
}

describe('what the crew entered', () => {
  it('is "not checked" when they say that they could not check, whatever else the form holds', () => {
    expect(read({ type: 'yes-no' }, { answer: 'yes', 'could-not': 'yes' })).toEqual({ ok: true, value: null });
  });

  it('keeps a single choice as a list of one', () => {
    const choices = [{ id: 'bent', says: { en: 'Bent' } }];
    expect(read({ type: 'choice', choices }, { answer: 'bent' })).toEqual({ ok: true, value: ['bent'] });
    expect(read({ type: 'choice', choices, many: true }, {}).ok).toBe(false);
  });

  it('reads numbers with a comma, and refuses words', () => {
    const kind = { type: 'number', unit: 'mm', min: 0, max: 9 } as const;
    expect(read(kind, { answer: '4,5' })).toEqual({ ok: true, value: 4.5 });
    expect(read(kind, { answer: 'four' }).ok).toBe(false);
    expect(read(kind, { answer: '1e3' }).ok).toBe(false);
  });

  it('leaves parts out that were not counted, and keeps a zero that was', () => {
    expect(read({ type: 'count' }, { [piecesField('LEG-4')]: '0', [piecesField('HS-1')]: '' })).toEqual({
      ok: true,
      value: { 'LEG-4': 0 },
    });
    expect(read({ type: 'count' }, { [piecesField('LEG-4')]: 'two' }).ok).toBe(false);
    expect(read({ type: 'count' }, {}).ok).toBe(false);
  });

  it('answers an item of photos with the photos that are there', () => {
    expect(read({ type: 'photo' }, {}, ['p1'])).toEqual({ ok: true, value: ['p1'] });
    expect(read({ type: 'photo' }, {}).ok).toBe(false);
  });
});
