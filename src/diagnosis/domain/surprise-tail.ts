/** Up to here every outcome is walked; beyond it a lattice is cheaper. */
const EXACT_UP_TO = 12;
const CELLS = 1024;

/**
 * How badly an explanation fits: the probability, if it were true, of evidence at most as likely as what was seen.
 * Each counted observation is an independent Bernoulli trial; `present[i]` is P(present) strictly between 0 and 1 and
 * `seenPresent[i]` what was seen. Returns P(log-likelihood <= the observed one), in (0, 1]. Deterministic: exact for up
 * to 12 observations; beyond that by convolution on a lattice of 1,024 steps up to the observed value,
 * which is within 0.005 and, out in the tail where it matters, within a few parts in a hundred of the value.
 */
export function surpriseTail(present: readonly number[], seenPresent: readonly boolean[]): number {
  const trials = present.map((p, i) => trialOf(p, seenPresent[i] === true));
  const observed = trials.reduce((sum, trial) => sum + (trial.unlikelySeen ? trial.deficit : 0), 0);
  if (observed === 0) return 1;
  const tail = trials.length <= EXACT_UP_TO ? exactTail(trials, observed) : latticeTail(trials, observed);
  return Math.min(1, tail);
}

/** One observation seen from its likelier outcome: how much log-likelihood the other outcome costs, and how often. */
interface Trial {
  readonly deficit: number;
  readonly unlikely: number;
  readonly unlikelySeen: boolean;
}

function trialOf(present: number, seenPresent: boolean): Trial {
  const unlikely = Math.min(present, 1 - present);
  const unlikelyIsPresent = present < 0.5;
  return {
    deficit: Math.log((1 - unlikely) / unlikely),
    unlikely,
    unlikelySeen: present !== 0.5 && seenPresent === unlikelyIsPresent,
  };
}

/** The chance that the deficits sum to at least the observed one, by walking outcomes and cutting settled branches. */
function exactTail(trials: readonly Trial[], observed: number): number {
  const ordered = [...trials].sort((a, b) => b.deficit - a.deficit);
  // Sums that differ only by rounding are ties, and ties belong to the tail.
  const enough = observed - 1e-9 * (1 + observed);
  const rest = new Float64Array(ordered.length + 1);
  for (let i = ordered.length - 1; i >= 0; i -= 1) rest[i] = (rest[i + 1] ?? 0) + (ordered[i]?.deficit ?? 0);
  const walk = (i: number, sum: number): number => {
    if (sum >= enough) return 1;
    const trial = ordered[i];
    if (trial === undefined || sum + (rest[i] ?? 0) < enough) return 0;
    return trial.unlikely * walk(i + 1, sum + trial.deficit) + (1 - trial.unlikely) * walk(i + 1, sum);
  };
  return walk(0, 0);
}

/** The same chance with every deficit rounded to a step of the lattice; what reaches the observed sum is set aside. */
function latticeTail(trials: readonly Trial[], observed: number): number {
  const scaled = trials.map((trial) => ({ ...trial, step: Math.round((trial.deficit / observed) * CELLS) }));
  const enough = scaled.reduce((sum, trial) => sum + (trial.unlikelySeen ? trial.step : 0), 0);
  if (enough === 0) return 1;
  const below = new Float64Array(enough);
  below[0] = 1;
  let reached = 0;
  let highest = 0;
  // Short steps first: while the sums are still low, only the low cells need a pass.
  for (const { step, unlikely } of scaled.filter((one) => one.step > 0).sort((a, b) => a.step - b.step)) {
    const stay = 1 - unlikely;
    for (let j = Math.max(0, enough - step); j <= highest; j += 1) reached += (below[j] as number) * unlikely;
    highest = Math.min(enough - 1, highest + step);
    for (let j = highest; j >= step; j -= 1)
      below[j] = (below[j] as number) * stay + (below[j - step] as number) * unlikely;
    for (let j = Math.min(step - 1, highest); j >= 0; j -= 1) below[j] = (below[j] as number) * stay;
  }
  return reached;
}
