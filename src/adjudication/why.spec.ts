import { describe, expect, it } from 'vitest';
import { sampleClaims } from '../../tests/support/sample-claims.js';
import { assessTraced, whyOf } from './assessment.js';
import { claimDates } from './domain/claim-facts.js';
import { why, type Assessed, type Why } from './domain/why.js';

/** Every place of every sample claim's assessment is asked why, and each answer leads down to what it rests on. */

const samples = sampleClaims().map(({ slug, claim, inputs }) => {
  const traced = assessTraced(claim, inputs);
  if (!traced.ok) throw new Error(`${slug}: ${JSON.stringify(traced.faults)}`);
  const of: Assessed = { ...inputs, ...traced.value, claim, on: claimDates(claim).delivered.toString() };
  return { slug, of };
});

/** Pointers to everything in a document, itself left out. */
function pointersOf(value: unknown, at = ''): string[] {
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([step, inner]) => {
    const here = `${at}/${step.replaceAll('~', '~0').replaceAll('/', '~1')}`;
    return [here, ...pointersOf(inner, here)];
  });
}

function asked(of: Assessed, pointer: string): Why {
  const found = why(pointer, of);
  if (found === undefined) throw new Error(`no answer for ${pointer}`);
  return found;
}

const rules = ({ chain }: Why): string[] => chain.flatMap(({ rule }) => rule ?? []);
const parameters = ({ chain }: Why): string[] =>
  chain.flatMap(({ parameter }) => (parameter === undefined ? [] : [`${parameter.name} from ${parameter.from}`]));

describe.each(samples)('$slug', ({ of }) => {
  const { assessment } = of;
  const everywhere = pointersOf(assessment);

  it('answers at every place, in words, with the value that stands there', () => {
    const silent = everywhere.filter((pointer) => {
      const { chain, value } = asked(of, pointer);
      return value === undefined || chain.length === 0 || chain.some(({ says }) => says.trim().length < 10);
    });
    expect(silent).toEqual([]);
  });

  it('leads from one place of the assessment only to others that are there', () => {
    const places = new Set(everywhere);
    const sections = everywhere.filter((pointer) => pointer.split('/').length <= 5);
    const lost = sections.flatMap((pointer) =>
      asked(of, pointer).chain.flatMap(({ at }) => (at === undefined || places.has(at) ? [] : [at])),
    );
    expect(lost).toEqual([]);
  });

  it('leads from each probability to its prior and to every sign with its decibans and grounds', () => {
    assessment.findings.forEach((finding, f) => {
      finding.explanations.forEach((_, e) => {
        const { chain } = asked(of, `/findings/${f}/explanations/${e}/probability`);
        const signs = chain.flatMap(({ observation }) => observation ?? []);
        expect(signs.map(({ id, decibans }) => [id, decibans])).toEqual(
          finding.evidence.map(({ observation, decibans }) => [observation, decibans]),
        );
        const unfounded = chain.filter(({ observation, source }) => observation !== undefined && source === undefined);
        expect(unfounded).toEqual([]);
        expect(chain.some(({ says }) => says.startsWith('Before anything was seen'))).toBe(true);
      });
      expect(parameters(asked(of, `/findings/${f}`))).toContain('bar probability from 2010-01-01');
    });
  });

  it('leads from each share and each party’s amount to the rule that named the party', () => {
    assessment.responsibility.forEach(({ shares, fired }, m) => {
      const named = fired
        .filter(({ decision }) => decision === 'responsibility')
        .map(({ rule }) => `responsibility/${rule}`);
      shares.forEach((_, s) => {
        for (const place of ['shares', 'amounts']) {
          const answer = asked(of, `/responsibility/${m}/${place}/${s}`);
          expect(rules(answer)).toEqual(expect.arrayContaining(named));
          expect(answer.chain.filter(({ rule, source }) => rule !== undefined && source === undefined)).toEqual([]);
        }
      });
    });
  });

  it('leads from each option and each line to the customer to the rules with their cells', () => {
    const { options, customerLines, chosen } = assessment.remedy;
    options.forEach(({ rule }, o) => {
      if (rule === 'catalogue' || rule === 'none') return;
      expect(rules(asked(of, `/remedy/options/${o}/rank`))).toContain(`remedy option/${rule}`);
    });
    customerLines.forEach((_, l) => {
      const answer = asked(of, `/remedy/customerLines/${l}/amountMinor`);
      expect(rules(answer).some((rule) => rule.startsWith('terms/'))).toBe(true);
      expect(rules(answer).some((rule) => rule.startsWith('remedy option/'))).toBe(true);
      expect(answer.chain.some(({ cells }) => cells !== undefined && cells.length > 0)).toBe(true);
    });
    expect(rules(asked(of, '/remedy/costTotalMinor')).length).toBeGreaterThanOrEqual(chosen.length > 0 ? 1 : 0);
  });

  it('leads from the limit of a demand to its rule, and from dated numbers to the day from which they hold', () => {
    assessment.recovery.demands.forEach(({ cap }, d) => {
      if (cap.rule !== null) expect(rules(asked(of, `/recovery/demands/${d}/cap`))).toContain(`cap/${cap.rule}`);
    });
    expect(parameters(asked(of, '/secondPersonAboveMinor'))).toEqual(['second person above from 2010-01-01']);
  });

  it('leads from each clock to its law, and from each rule to where it fired', () => {
    assessment.clocks.forEach(({ id, source }, c) => {
      const [first] = asked(of, `/clocks/${c}`).chain;
      expect(first).toMatchObject({ rule: `clock/${id}`, source });
    });
    assessment.rules.forEach((rule, r) => expect(rules(asked(of, `/rules/${r}`))).toContain(rule));
  });
});

describe('a pointer', () => {
  const [first] = sampleClaims();
  if (first === undefined) throw new Error('there are no samples');

  it.each([
    '/remedy/customerLines/99',
    '/nothing',
    '/remedy/options/-',
    '/remedy/options/00',
    '/findings/x',
    'remedy',
    '/title/0',
    '/__proto__',
  ])('%s leads nowhere', (pointer) => {
    expect(whyOf(first.claim, first.inputs, pointer)).toEqual({ ok: true, value: undefined });
  });

  it('may begin with # as in a URI, and the empty one is the whole assessment', () => {
    const plain = whyOf(first.claim, first.inputs, '/verdict');
    expect(whyOf(first.claim, first.inputs, '#/verdict')).toEqual(plain);
    expect(whyOf(first.claim, first.inputs, '')).toMatchObject({ ok: true, value: { pointer: '' } });
  });

  it('is not looked at where the claim itself is at fault', () => {
    expect(whyOf({ ...first.claim, asOf: 'never' }, first.inputs, '/verdict').ok).toBe(false);
  });
});
