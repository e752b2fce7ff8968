import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { sampleClaims } from '../../../tests/support/sample-claims.js';
import { assessTraced, caseOutcome, judgeFrozen } from '../../adjudication/records.contract.js';
import { canonicalJson } from '../../kernel/canonical-json.js';
import { compilePolicy, type PolicyDocument } from '../../policies/policies.contract.js';
import { outcomeChanges } from '../domain/outcome-changes.js';
import { RehearsalTotals } from '../domain/rehearsal-totals.js';
import { rehearseClaim, type KeptRecord, type Rehearsing } from './rehearse-claim.js';
import { rehearsedPolicy, versionBefore, type RehearsedPolicy, type VersionBefore } from './rehearsed-policy.js';

const all = sampleClaims().map(({ slug, claim, inputs }) => {
  const traced = assessTraced(claim, inputs);
  if (!traced.ok) throw new Error(`${slug}: ${JSON.stringify(traced.faults)}`);
  const { judgement, run, frozen } = traced.value;
  const facts = frozen();
  const around = { jurisdiction: facts.claim.jurisdiction, outside: facts.outside };
  return { slug, facts, outcome: caseOutcome(judgement, run, around), document: inputs.policy.document };
});
const [first] = all;
if (first === undefined) throw new Error('there are no sample claims');

type Sample = (typeof all)[number];

/** Rehearses a sample claim by a draft of its own policy. */
function rehearsed(one: Sample, draft: PolicyDocument, quick = true): ReturnType<typeof rehearseClaim> {
  const ready = rehearsedPolicy(draft);
  return by(one, ready, versionBefore(one.document, ready), quick);
}

function by(
  one: Sample,
  draft: RehearsedPolicy,
  before: VersionBefore,
  quick: boolean,
): ReturnType<typeof rehearseClaim> {
  const record: KeptRecord = {
    id: one.slug,
    claimId: one.slug,
    facts: canonicalJson(one.facts),
    outcome: canonicalJson(one.outcome),
    version: quick ? before : { ...before, answers: undefined },
  };
  const rehearsing: Rehearsing = { draft, holidays: () => () => 'no data', regions: [] };
  return rehearseClaim(record, rehearsing);
}

/** A policy with one thing changed. */
function changed(document: PolicyDocument, change: (draft: PolicyDocument) => void): PolicyDocument {
  const draft = structuredClone(document);
  change(draft);
  return draft;
}

/** Document members are read-only for everybody but these tests. */
type Loose = Record<string, unknown>;

describe('a rehearsed claim', () => {
  it.each(all)('$slug comes out as it did under the version that judged it', (one) => {
    for (const quick of [true, false]) {
      const { claim, change } = rehearsed(one, one.document, quick);
      expect([claim.kinds, change]).toEqual([[], undefined]);
    }
  });

  it('says what changes and by how much money: an allowance of 12 % in place of 15 %', () => {
    const one = all.find(({ slug }) => slug === 'bed-blade-cut');
    if (one === undefined) throw new Error('the sample claim is gone');
    const draft = changed(one.document, ({ decisions }) => {
      const rule = decisions.find(({ id }) => id === 'terms')?.table?.rules.find(({ id }) => id === 'TRM-US-41');
      if (rule === undefined) throw new Error('the rule is gone');
      (rule.then as Loose)['allowance percent'] = '12';
    });
    const { change } = rehearsed(one, draft);
    // Worked by hand: 1299.00 × 15 % + 132.50 × 15 % = 194.85 + 19.875 → 214.73; at 12 % 155.88 + 15.90 = 171.78.
    expect([change?.was.customerMinor, change?.becomes?.customerMinor, change?.weight]).toEqual([21473, 17178, 4295]);
    expect(change?.kinds).toContain('customer money');
    expect(change?.kinds).not.toContain('remedy');
  });

  it('is counted as not fit where the draft cannot be applied, with the sentence that says why', () => {
    const draft = changed(first.document, ({ parameters }) => {
      (parameters['share floor'] as unknown as { values: { from: string; value: number }[] }).values = [
        { from: '2090-01-01', value: 500 },
      ];
    });
    const { claim, change } = rehearsed(first, draft);
    expect(claim.kinds).toEqual(['not fit']);
    expect(change).toMatchObject({ becomes: null, problem: expect.stringMatching(/"share floor" has no value/) });
  });

  it('comes out the same by the short way as when everything is worked out, whatever rule or value is changed', () => {
    const documents = [...new Map(all.map(({ document }) => [document.id, document])).values()];
    const edit = fc.record({
      document: fc.constantFrom(...documents),
      decision: fc.nat(),
      rule: fc.nat(),
      how: fc.constantFrom('drop', 'last', 'outcome', 'parameter'),
    });
    let differ = 0;
    fc.assert(
      fc.property(edit, ({ document, decision, rule, how }) => {
        const draft = changed(document, (loose) => edited(loose, { decision, rule, how }));
        if (!compilePolicy(draft).ok) return;
        const ready = rehearsedPolicy(draft);
        const before = versionBefore(document, ready);
        for (const one of all.filter((each) => each.document.id === document.id)) {
          const quick = by(one, ready, before, true);
          const full = by(one, ready, before, false);
          expect(quick.claim.kinds).toEqual(full.claim.kinds);
          expect(quick.change).toEqual(full.change);
          if (quick.change !== undefined) differ += 1;
        }
      }),
      { numRuns: 200 },
    );
    // The edits must bite, or the comparison says nothing.
    expect(differ).toBeGreaterThan(20);
  }, 120_000);
});

function edited(
  { decisions, parameters }: PolicyDocument,
  by: { readonly decision: number; readonly rule: number; readonly how: string },
): void {
  if (by.how === 'parameter') {
    const names = Object.keys(parameters);
    const values = parameters[names[by.rule % names.length] ?? '']?.values;
    for (const dated of values ?? []) {
      const raised = Number(dated.value) * 2;
      (dated as Loose)['value'] = typeof dated.value === 'number' ? raised : String(raised);
    }
    return;
  }
  const tables = decisions.flatMap(({ table }) => (table === undefined ? [] : [table]));
  const rules = tables[by.decision % tables.length]?.rules as (PolicyDocument['decisions'][number]['table'] &
    object)['rules'][number][];
  const at = by.rule % rules.length;
  const [rule] = rules.splice(at, 1);
  if (rule === undefined || by.how === 'drop') return;
  if (by.how === 'last') rules.push(rule);
  else rules.splice(at, 0, Object.assign(rule, { when: rules[by.decision % rules.length]?.when ?? rule.when }));
}

describe('the sums of a rehearsal', () => {
  it('come out the same over all claims at once and in stretches of any length', () => {
    const claims = all.map(({ facts, outcome }, index) => {
      const other = all[(index + 7) % all.length]?.outcome ?? outcome;
      const becomes = { ...other, currency: outcome.currency };
      return {
        parties: facts.parties,
        kinds: outcomeChanges(outcome, becomes),
        was: outcome,
        becomes,
        regions: [index % 3],
      };
    });
    const whole = new RehearsalTotals();
    for (const claim of claims) whole.add(claim);
    fc.assert(
      fc.property(fc.integer({ min: 1, max: claims.length }), (length) => {
        const merged = new RehearsalTotals();
        for (let from = 0; from < claims.length; from += length) {
          const stretch = new RehearsalTotals();
          for (const claim of claims.slice(from, from + length)) stretch.add(claim);
          merged.merge(JSON.parse(JSON.stringify(stretch)) as ReturnType<RehearsalTotals['toJSON']>);
        }
        expect(merged.toJSON()).toEqual(whole.toJSON());
      }),
    );
    const { money } = whole.toJSON();
    for (const [currency, was, becomes] of money) {
      const own = claims.filter((claim) => claim.was.currency === currency);
      expect(was).toBe(own.reduce((sum, claim) => sum + claim.was.customerMinor, 0));
      expect(becomes).toBe(own.reduce((sum, claim) => sum + claim.becomes.customerMinor, 0));
    }
  });

  it('are refused rather than rounded where they leave the exact numbers', () => {
    const sums = new RehearsalTotals();
    const outcome = { ...first.outcome, customerMinor: Number.MAX_SAFE_INTEGER };
    const claim = { parties: first.facts.parties, kinds: [], was: outcome, becomes: outcome, regions: [] };
    sums.add(claim);
    expect(() => sums.add(claim)).toThrow(RangeError);
  });

  it('judge by the other version where one is named', () => {
    const draft = rehearsedPolicy(first.document);
    const judged = judgeFrozen(first.facts, draft.policy);
    expect(judged.ok && judged.outcome.customerMinor).toBe(first.outcome.customerMinor);
  });
});
