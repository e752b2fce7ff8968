import { describe, expect, it } from 'vitest';
import { runExamples } from '../../../../policies/analysis.contract.js';
import { shippedPolicy } from '../../../../../tests/support/shipped-policy.js';
import { ready } from '../../../../../tests/support/small-policy.js';
import { putExample } from './document-edits.js';
import { completed, offered } from './offers.js';
import { exampleFrom, factsOf, factsRead, typedFrom } from './tried-case.js';

const policy = shippedPolicy('us');
const { document } = policy;

describe('a case that is tried', () => {
  it('made of an example and kept again is that example, for every example of a shipped policy', () => {
    for (const example of document.examples) {
      const typed = typedFrom(example);
      const facts = factsOf(document, typed.texts);
      expect(facts, example.id).toEqual(example.given);
      const evaluation = policy.evaluate(typed.on, facts, typed.decision === '' ? undefined : [typed.decision]);
      const gives = document.decisions
        .filter(({ id }) => typed.decision === '' || id === typed.decision)
        .flatMap((decision) => Object.keys(decision.gives));
      const kept = exampleFrom('tried', typed, facts, evaluation, gives);
      const [result] = runExamples(ready({ ...putExample(document, kept), examples: [kept] }));
      expect(result, example.id).toMatchObject({ id: 'tried', passed: true });
    }
  });

  it('leaves out what is empty, takes null for absent, and keeps what does not fit for the engine to refuse', () => {
    expect(factsOf(document, { ground: 'damage', noted: '', component: 'null', 'age months': 'old' })).toEqual({
      ground: 'damage',
      component: null,
      'age months': 'old',
    });
  });

  it('asks for the facts that a decision reads, itself or through earlier ones', () => {
    const read = factsRead(document, 'notice');
    // The engine says which facts it still needs; nothing that it asks for may be missing from the form.
    for (const { id } of document.decisions) {
      const asked = policy.evaluate('2026-03-01', {}, [id]).needs.map(({ fact }) => fact);
      expect(
        asked.filter((fact) => !factsRead(document, id).has(fact)),
        id,
      ).toEqual([]);
    }
    expect(read.has('days to notice')).toBe(true);
    expect(read.has('price paid')).toBe(false);
    expect(factsRead(document, '').size).toBe(Object.keys(document.facts).length);
  });
});

describe('values that are offered', () => {
  const column = {
    id: 'c',
    head: 'part',
    takes: '',
    part: 'condition',
    offers: ['"carton"', '"leg"', '"motor"'],
  } as const;

  it.each([
    ['"leg"', '"leg"', ['"carton"', '"leg"', '"motor"']],
    ['', 'x', ['"carton"', '"leg"', '"motor"']],
    ['mo', '', ['"motor"']],
    ['"leg", ', '', ['"carton"', '"leg"', '"motor"']],
    ['"leg", "c', '', ['"carton"']],
    ['not("le', '', ['"leg"']],
    ['"motor"', '', []],
    ['> 3', '', []],
  ])('for %j where %j stood', (text, before, offers) => {
    expect(offered(column, text, before)).toEqual(offers);
  });

  it.each([
    ['mo', '', '"motor"', '"motor"'],
    ['"leg", mo', '', '"motor"', '"leg", "motor"'],
    ['not(mo', '', '"motor"', 'not("motor"'],
    ['not("leg", mo)', '', '"motor"', 'not("leg", "motor")'],
    ['"leg"', '"leg"', '"motor"', '"motor"'],
  ])('%j (before: %j) and %j make %j', (text, before, offer, whole) => {
    expect(completed(column, text, offer, before)).toBe(whole);
  });
});
