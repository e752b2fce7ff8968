import { describe, expect, it } from 'vitest';
import { sampleClaims } from '../../tests/support/sample-claims.js';
import { canonicalJson } from '../kernel/canonical-json.js';
import { assessTraced, caseTrace, judgeFrozen, traceOfFrozen, type FrozenCase } from './records.contract.js';

/** A case as it comes back from where it was kept. */
function kept(frozen: FrozenCase): FrozenCase {
  return JSON.parse(canonicalJson(frozen)) as FrozenCase;
}

describe('a kept case', () => {
  it.each(sampleClaims())('of $slug is judged again as it was assessed', ({ claim, inputs }) => {
    const traced = assessTraced(claim, inputs);
    if (!traced.ok) throw new Error(JSON.stringify(traced.faults));
    const { assessment, judgement, run, frozen } = traced.value;
    const again = judgeFrozen(kept(frozen()), inputs.policy);
    if (!again.ok) throw new Error(again.problem);
    const { remedy, recovery } = assessment;
    expect(again.outcome).toMatchObject({
      currency: remedy.currency,
      customerMinor: remedy.customerTotalMinor,
      costMinor: remedy.costTotalMinor,
      remedies: remedy.chosen.map((one) => ({ remedy: one.remedy, about: one.about })),
      responsible: assessment.responsibility.map(({ about, mode, shares, amounts }) => ({
        about,
        mode,
        shares,
        amounts,
      })),
      demands: recovery.demands.map(({ party, totalMinor }) => ({ party, totalMinor })),
      verdict: assessment.verdict,
      rules: assessment.rules,
    });
    expect(again.outcome.clocks.map(({ id, endsAt, state }) => [id, endsAt, state])).toEqual(
      assessment.clocks.map(({ id, endsAt, state }) => [id, endsAt, state]),
    );
    expect(canonicalJson(traceOfFrozen(again))).toBe(canonicalJson(caseTrace(judgement, run)));
  });

  it('holds neither answers nor photos nor words, and stays small', () => {
    for (const { claim, inputs } of sampleClaims()) {
      const traced = assessTraced(claim, inputs);
      if (!traced.ok) throw new Error(JSON.stringify(traced.faults));
      const text = canonicalJson(traced.value.frozen());
      expect(text).not.toContain('"photos"');
      expect(text).not.toContain('"answers"');
      expect(text.length).toBeLessThan(12_000);
    }
  });

  it('is judged by other dated values when another day is asked for, and keeps its holidays', () => {
    const [sample] = sampleClaims();
    if (sample === undefined) throw new Error('there are no sample claims');
    const traced = assessTraced(sample.claim, sample.inputs);
    if (!traced.ok) throw new Error(JSON.stringify(traced.faults));
    const frozen = kept(traced.value.frozen());
    const early = judgeFrozen(frozen, sample.inputs.policy, { on: '1990-01-01' });
    expect(early).toMatchObject({ ok: false });
    expect(early.ok ? '' : early.problem).toMatch(/has no value on 1990-01-01/);
  });
});
