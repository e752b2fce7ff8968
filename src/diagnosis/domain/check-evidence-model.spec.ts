import { describe, expect, it } from 'vitest';
import { modelOf } from '../../../tests/support/evidence-models.js';
import type { EvidenceModel } from '../diagnosis.contract.js';
import type { Checklist } from '../../inspections/inspections.contract.js';
import { checkEvidenceModel } from './check-evidence-model.js';

type Draft = { -readonly [K in keyof EvidenceModel]: unknown } & Record<string, unknown>;

function draft(change: (model: Record<string, never>) => void): Draft {
  const copy = structuredClone(SOUND) as unknown as Record<string, never>;
  change(copy);
  return copy as unknown as Draft;
}

const SOUND: EvidenceModel = {
  ...modelOf({
    priors: { a: 2, b: 1, c: 1 },
    likelihoods: { s: [0.9, 0.1, 0.2], t: [0.1, 0.3, 0.8], u: [0.2, 0.9, 0.2] },
  }),
};

function pointers(document: unknown, checklist?: Checklist): string[] {
  const outcome = checkEvidenceModel(document, checklist);
  return outcome.ok ? [] : outcome.faults.map((fault) => fault.pointer);
}

/** Sets a value deep inside a document by path. */
function set(path: readonly (string | number)[], value: unknown): (model: unknown) => void {
  return (model) => {
    const parent = path.slice(0, -1).reduce<unknown>((at, step) => (at as Record<string, unknown>)[step], model);
    (parent as Record<string, unknown>)[path.at(-1) ?? ''] = value;
  };
}

describe('an evidence model', () => {
  it('is read when it is sound', () => {
    expect(checkEvidenceModel(SOUND)).toEqual({ ok: true, value: SOUND });
  });

  it.each<[string, readonly (string | number)[], unknown, string]>([
    ['a likelihood of 0', ['observations', 1, 'likelihoods', 'a'], 0, '#/observations/1/likelihoods/a'],
    ['a likelihood of 1', ['observations', 1, 'likelihoods', 'a'], 1, '#/observations/1/likelihoods/a'],
    ['an otherwise of 1', ['observations', 1, 'otherwise', 'thing'], 1, '#/observations/1/otherwise/thing'],
    ['a likelihood in words', ['observations', 1, 'likelihoods', 'a'], 'often', '#/observations/1/likelihoods/a'],
    ['an impossible prior', ['explanations', 0, 'prior'], 0, '#/explanations/0/prior'],
    ['a prior below zero', ['explanations', 0, 'prior'], -1, '#/explanations/0/prior'],
    ['an unknown component', ['explanations', 0, 'component'], 'wheel', '#/explanations/0/component'],
    ['an unknown origin', ['explanations', 0, 'origin'], 'fate', '#/explanations/0/origin'],
    ['a field too many', ['observations', 0, 'colour'], 'red', '#/observations/0/colour'],
    ['no grounds', ['explanations', 0, 'grounds'], ' ', '#/explanations/0/grounds'],
    ['another format', ['format'], 'evidence-model/2', '#/format'],
    ['an id used twice', ['explanations', 1, 'id'], 'a', '#/explanations/1/id'],
    ['an unknown subject', ['explanations', 2, 'subject'], 'ghost', '#/explanations/2/subject'],
    ['an unknown explanation', ['observations', 1, 'likelihoods', 'zz'], 0.5, '#/observations/1/likelihoods/zz'],
    [
      'an unknown subject in otherwise',
      ['observations', 1, 'otherwise', 'ghost'],
      0.5,
      '#/observations/1/otherwise/ghost',
    ],
    ['an unknown opener', ['subjects', 0, 'opensOn', 0], 'ghost', '#/subjects/0/opensOn/0'],
  ])('is refused for %s', (_, path, value, expected) => {
    expect(pointers(draft(set(path, value) as never))).toContain(expected);
  });

  it('reports every fault at once', () => {
    const faulty = draft((model) => {
      set(['explanations', 0, 'prior'], 0)(model);
      set(['observations', 1, 'likelihoods', 'a'], 1)(model);
      set(['title'], 7)(model);
    });
    expect(pointers(faulty).sort()).toEqual(['#/explanations/0/prior', '#/observations/1/likelihoods/a', '#/title']);
  });

  it.each([null, 3, 'model', [], {}])('is refused when it is %j', (document) => {
    expect(checkEvidenceModel(document).ok).toBe(false);
  });

  it('is refused where listed likelihoods leave the rest of their subject unsaid', () => {
    expect(pointers(draft(set(['observations', 1, 'otherwise'], {}) as never))).toContain(
      '#/observations/1/likelihoods/a',
    );
  });

  it('is refused where a subject has one explanation', () => {
    const lonely = draft((model) => {
      set(['subjects', 1], { id: 'other', title: { en: 'Other' }, opensOn: ['s'] })(model);
      set(['explanations', 2, 'subject'], 'other')(model);
      set(['observations', 1, 'otherwise', 'other'], 0.5)(model);
    });
    expect(pointers(lonely)).toContain('#/subjects/1');
  });

  it('is refused where a group reaches across subjects', () => {
    const model = structuredClone(SOUND) as unknown as {
      explanations: unknown[];
      subjects: unknown[];
      observations: { group?: string; otherwise: Record<string, number> }[];
    };
    model.subjects.push({ id: 'other', title: { en: 'Other' }, opensOn: ['s'] });
    const spare = SOUND.explanations[0];
    model.explanations.push({ ...spare, id: 'y', subject: 'other' }, { ...spare, id: 'z', subject: 'other' });
    const [, s, t] = model.observations;
    if (s === undefined || t === undefined) throw new Error('no rows');
    s.otherwise['other'] = 0.3;
    s.group = 'g';
    t.group = 'g';
    expect(pointers(model)).toEqual(['#/observations/2/group']);
  });

  it('is refused where no evidence could bring an explanation ahead of another', () => {
    const twin = modelOf({ priors: { a: 2, b: 1 }, likelihoods: { s: [0.9, 0.9] } });
    expect(pointers(twin)).toEqual(['#/explanations/1']);
    // At best b gains 10·log10(0.5/0.4) on a, and its prior is 10·log10(2) behind.
    const slow = modelOf({ priors: { a: 2, b: 1 }, likelihoods: { s: [0.4, 0.5] } });
    expect(pointers(slow)).toEqual(['#/explanations/1']);
    // Twice that would do, but not within one group, where only one can speak.
    const row = [0.4, 0.6];
    const pair = { priors: { a: 2, b: 1 }, likelihoods: { s: row, t: row } };
    expect(pointers(modelOf(pair))).toEqual([]);
    expect(pointers(modelOf({ ...pair, groups: { s: 'g', t: 'g' } }))).toEqual(['#/explanations/1']);
  });
});

describe('an evidence model against its checklist', () => {
  const checklist: Checklist = {
    format: 'checklist/1',
    id: 'small',
    version: 1,
    family: 'lift chair',
    title: { en: 'Small' },
    cautions: [],
    stops: [],
    sections: [
      {
        id: 'all',
        title: { en: 'All' },
        items: SOUND.observations.map((one) => ({
          id: one.item,
          ask: { en: 'Is it so?' },
          answer: { type: 'yes-no' },
          yields: [{ when: { is: ['yes'] }, observation: one.id, sighting: 'present' }],
        })),
      },
    ],
  };

  it('agrees', () => {
    expect(pointers(SOUND, checklist)).toEqual([]);
  });

  it('is refused for another family', () => {
    expect(pointers({ ...SOUND, family: 'powered bed base' }, checklist)).toEqual(['#/family']);
  });

  it('is refused where an item does not yield the observation, or nothing does', () => {
    expect(pointers(draft(set(['observations', 1, 'item'], 'item-t') as never), checklist)).toEqual([
      '#/observations/1/item',
    ]);
    const fewer = { ...checklist, sections: checklist.sections.map((s) => ({ ...s, items: s.items.slice(0, -1) })) };
    expect(pointers(SOUND, fewer)).toEqual(['#/observations/3/item']);
  });

  it('is refused where it leaves out what the checklist yields', () => {
    const fewer = {
      ...SOUND,
      observations: SOUND.observations.slice(0, -1),
      subjects: SOUND.subjects.map((s) => ({ ...s, opensOn: ['s'] })),
    };
    const outcome = checkEvidenceModel(fewer, checklist);
    expect(outcome.ok ? [] : outcome.faults.map((fault) => fault.detail).join(' ')).toContain(
      '"u", which the model does not weigh',
    );
  });
});
