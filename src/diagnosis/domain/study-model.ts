import type { EvidenceModel } from '../diagnosis.contract.js';
import type { ExplanationPair, SignWeight, SignWorth, SubjectStudy } from '../study.contract.js';
import type { CompiledModel, CompiledSubject } from './compile-model.js';
import { compiled, DECIBANS_PER_NAT } from './compile-model.js';
import { entropyBits } from './findings.js';
import { at, whole } from './weighing.js';

/**
 * What one sign says about every explanation of a subject before anything else is known: 10·log10 of P(o|e) over the mean of P(o|e')
 * over the other explanations, weighted by their priors (weight of evidence: Good, Probability and the Weighing of Evidence, 1950).
 * @returns in the model's order of explanations; empty where the sign does not inform the subject
 * @throws RangeError when the model has no such subject
 */
export function signWeights(model: EvidenceModel | CompiledModel, subject: string, observation: string): SignWeight[] {
  const of = subjectOf(compiled(model), subject);
  const row = of.rows.findIndex(({ id }) => id === observation);
  if (row < 0) return [];
  const shares = of.logPrior.map(Math.exp);
  return of.explanations.map((explanation, e) => {
    const chance = at(of.present, row * of.explanations.length + e);
    const rest = meanOfRest(of, row, e, shares);
    return {
      explanation,
      chance,
      share: at(shares, e),
      present: decibans(chance / rest),
      absent: decibans((1 - chance) / (1 - rest)),
    };
  });
}

/**
 * What can be said of a model without a claim: how well the signs tell explanations apart, and what each sign is worth as the first
 * check. A pair's figure is the discrimination information of Kullback and Leibler (1951) in decibans, which is the weight of evidence
 * to be expected (Good 1950); signs are taken as independent given the explanation, and of a group only the member that says most
 * counts. A sign's worth is the mutual information of sign and explanation in bits (Shannon 1948).
 * @param model one that has passed `checkEvidenceModel`
 */
export function studyModel(model: EvidenceModel | CompiledModel): SubjectStudy[] {
  return compiled(model).subjects.map((of) => ({
    subject: of.subject.id,
    entropyBits: entropyBits(of.logPrior.map(Math.exp)),
    pairs: pairsOf(of),
    signs: signsOf(of),
  }));
}

function subjectOf(model: CompiledModel, subject: string): CompiledSubject {
  const found = model.subjects.find((one) => one.subject.id === subject);
  if (found === undefined) throw new RangeError(`the evidence model has no subject "${subject}"`);
  return found;
}

/** Chance of the sign if some other explanation were true. */
function meanOfRest(of: CompiledSubject, row: number, column: number, shares: Float64Array): number {
  let chance = 0;
  let weight = 0;
  of.explanations.forEach((_, e) => {
    if (e === column) return;
    chance += at(shares, e) * at(of.present, row * of.explanations.length + e);
    weight += at(shares, e);
  });
  return chance / weight;
}

function decibans(ratio: number): number {
  return DECIBANS_PER_NAT * Math.log(ratio);
}

function signsOf(of: CompiledSubject): SignWorth[] {
  const shares = of.logPrior.map(Math.exp);
  const columns = of.explanations.length;
  const worths = of.rows.map(({ id, says, item, group, effortSeconds }, r): SignWorth => {
    const chances = of.present.subarray(r * columns, (r + 1) * columns);
    const mean = chances.reduce((sum, chance, e) => sum + at(shares, e) * chance, 0);
    const within = chances.reduce((sum, chance, e) => sum + at(shares, e) * bitsOf(chance), 0);
    const expectedBits = Math.max(0, bitsOf(mean) - within);
    const weights = chances.reduce((most, chance, e) => {
      const rest = meanOfRest(of, r, e, shares);
      return Math.max(most, Math.abs(decibans(chance / rest)), Math.abs(decibans((1 - chance) / (1 - rest))));
    }, 0);
    return {
      observation: id,
      says,
      item,
      ...(group === undefined ? {} : { group }),
      expectedBits,
      effortSeconds,
      bitsPerSecond: expectedBits / effortSeconds,
      mostDecibans: weights,
    };
  });
  return worths.sort((a, b) => b.bitsPerSecond - a.bitsPerSecond || (a.observation < b.observation ? -1 : 1));
}

/** Entropy of a thing that is so with a chance and not so otherwise. */
function bitsOf(chance: number): number {
  return entropyBits(Float64Array.of(chance, 1 - chance));
}

function pairsOf(of: CompiledSubject): ExplanationPair[] {
  const pairs: ExplanationPair[] = [];
  of.explanations.forEach((one, a) =>
    of.explanations.slice(a + 1).forEach((other, after) => {
      const b = a + 1 + after;
      const [there, back] = [apart(of, a, b), apart(of, b, a)];
      const least = there.nats <= back.nats ? there : back;
      const bestSign = of.rows[least.best]?.id ?? '';
      pairs.push({ one: one.id, other: other.id, decibans: DECIBANS_PER_NAT * least.nats, bestSign });
    }),
  );
  return pairs.sort((x, y) => x.decibans - y.decibans);
}

/** What all signs together are expected to say for one explanation against another if the one is true. */
function apart(of: CompiledSubject, truth: number, rival: number): { readonly nats: number; readonly best: number } {
  const columns = of.explanations.length;
  const byGroup = new Float64Array(of.groups);
  let nats = 0;
  let most = -1;
  let best = 0;
  for (let r = 0; r < of.rows.length; r += 1) {
    const [t, v] = [r * columns + truth, r * columns + rival];
    const here =
      at(of.present, t) * (at(of.logPresent, t) - at(of.logPresent, v)) +
      at(of.absent, t) * (at(of.logAbsent, t) - at(of.logAbsent, v));
    if (here > most) [most, best] = [here, r];
    const group = whole(of.group, r);
    if (group < 0) nats += here;
    else byGroup[group] = Math.max(at(byGroup, group), here);
  }
  return { nats: byGroup.reduce((sum, each) => sum + each, nats), best };
}
