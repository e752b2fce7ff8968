import type { EvidenceModel, FindingBar } from '../../src/diagnosis/diagnosis.contract.js';

/** A bar that lets everything speak: for tests of numbers, not of abstention. */
export const OPEN_BAR: FindingBar = { probability: 0, marginDecibans: 0, surprise: 0, worthBits: 0 };

/** One subject, "thing", as a table: priors by explanation, and P(present | explanation) by observation in the same order. */
export interface ModelTable {
  readonly priors: Readonly<Record<string, number>>;
  readonly likelihoods: Readonly<Record<string, readonly number[]>>;
  readonly groups?: Readonly<Record<string, string>>;
  readonly effortSeconds?: Readonly<Record<string, number>>;
}

/** An observation with the same chance under every explanation: it opens the finding and moves nothing. */
export const OPENER = 'seen-at-all';

/** Writes a table out as an evidence model whose one subject opens on `OPENER` or on any observation of the table. */
export function modelOf(table: ModelTable): EvidenceModel {
  const explanations = Object.keys(table.priors);
  const rows: [string, readonly number[]][] = [
    [OPENER, explanations.map(() => 0.5)],
    ...Object.entries(table.likelihoods),
  ];
  return {
    format: 'evidence-model/1',
    id: 'small',
    version: 1,
    family: 'lift chair',
    title: 'a small model',
    basis: 'made up for a test',
    subjects: [{ id: 'thing', title: { en: 'Thing' }, opensOn: rows.map(([id]) => id) }],
    explanations: explanations.map((id) => ({
      id,
      subject: 'thing',
      component: 'motor',
      fault: `fault ${id}`,
      origin: 'manufacture',
      severity: 'functional',
      prior: table.priors[id] ?? Number.NaN,
      grounds: 'made up',
    })),
    observations: rows.map(([id, row]) => ({
      id,
      says: `it shows ${id}`,
      check: { en: `Look for ${id}.` },
      item: `item-${id}`,
      effortSeconds: table.effortSeconds?.[id] ?? 10,
      ...(table.groups?.[id] === undefined ? {} : { group: table.groups[id] }),
      likelihoods: Object.fromEntries(explanations.map((each, e) => [each, row[e] ?? Number.NaN])),
      otherwise: { thing: 0.5 },
      grounds: 'made up',
    })),
  };
}

/** Numbers in [0, 1) from a seed, the same on every machine (linear congruential, constants of Numerical Recipes). */
export function seededNumbers(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 4_294_967_296;
  };
}
