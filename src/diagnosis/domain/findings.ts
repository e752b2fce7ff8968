import type {
  EvidenceModel,
  Finding,
  FindingBar,
  RankedExplanation,
  WeighedObservation,
} from '../diagnosis.contract.js';
import type { Observations } from '../../inspections/inspections.contract.js';
import { abstentions } from './abstentions.js';
import type { CompiledModel } from './compile-model.js';
import { compiled, DECIBANS_PER_NAT } from './compile-model.js';
import { surpriseTail } from './surprise-tail.js';
import type { Weighed } from './weighing.js';
import { at, isOpen, NOT_CHECKED, PRESENT, sightingsOf, weigh } from './weighing.js';

/**
 * The findings that the observations open, one per damaged thing, in the model's order of subjects: ranked explanations
 * with probabilities, marginals over components and origins, the weight of every observation in decibans, what was not
 * checked, how well the best explanation fits, and whether the service may speak for itself under the given bar.
 * Takes the model or its compiled form; compile once when many claims are weighed.
 * @throws RangeError when an observation is both present and absent.
 */
export function findings(model: EvidenceModel | CompiledModel, observations: Observations, bar: FindingBar): Finding[] {
  const ready = compiled(model);
  const sightings = sightingsOf(ready, observations);
  return ready.subjects
    .filter((subject) => isOpen(subject, sightings))
    .map((subject) => findingOf(weigh(subject, sightings), bar));
}

/**
 * Posterior probabilities of one subject's explanations, by id, whether or not a finding is open on it.
 * @throws RangeError when the model has no such subject, or an observation is both present and absent.
 */
export function posterior(
  model: EvidenceModel | CompiledModel,
  subject: string,
  observations: Observations,
): ReadonlyMap<string, number> {
  const ready = compiled(model);
  const one = ready.subjects.find((each) => each.subject.id === subject);
  if (one === undefined) throw new RangeError(`the evidence model has no subject "${subject}"`);
  const weighed = weigh(one, sightingsOf(ready, observations));
  return new Map(one.explanations.map((each, e) => [each.id, at(weighed.posterior, e)]));
}

function findingOf(weighed: Weighed, bar: FindingBar): Finding {
  const { of } = weighed;
  const order = ranking(weighed);
  const leader = order[0] ?? 0;
  const explanations = order.map((e) => ranked(weighed, e));
  const tail = tailUnder(weighed, leader);
  const second = order[1];
  const marginDecibans =
    second === undefined ? undefined : DECIBANS_PER_NAT * (at(weighed.logJoint, leader) - at(weighed.logJoint, second));
  const reasons = abstentions({ explanations, marginDecibans, tail }, bar);
  return {
    subject: of.subject.id,
    title: of.subject.title,
    explanations,
    components: marginal(explanations, 'component').map(([component, probability]) => ({ component, probability })),
    origins: marginal(explanations, 'origin').map(([origin, probability]) => ({ origin, probability })),
    evidence: evidenceFor(weighed, leader),
    notChecked: of.rows.filter((_, r) => weighed.seen[r] === NOT_CHECKED).map((row) => row.id),
    surpriseTail: tail,
    entropyBits: entropyBits(weighed.posterior),
    verdict: reasons.length === 0 ? 'settled' : 'to a person',
    reasons,
  };
}

/** Columns from the most to the least probable; of equals the one whose id sorts first. */
function ranking({ of, logJoint }: Weighed): number[] {
  return of.explanations
    .map((_, e) => e)
    .sort((a, b) => {
      const byWeight = at(logJoint, b) - at(logJoint, a);
      if (byWeight !== 0) return byWeight;
      return (of.explanations[a]?.id ?? '') < (of.explanations[b]?.id ?? '') ? -1 : 1;
    });
}

function ranked({ of, posterior }: Weighed, column: number): RankedExplanation {
  const one = of.explanations[column];
  if (one === undefined) throw new RangeError(`the subject "${of.subject.id}" has no explanations`);
  return {
    id: one.id,
    component: one.component,
    fault: one.fault,
    origin: one.origin,
    severity: one.severity,
    probability: at(posterior, column),
  };
}

function marginal<K extends 'component' | 'origin'>(
  explanations: readonly RankedExplanation[],
  by: K,
): [RankedExplanation[K], number][] {
  const sums = new Map<RankedExplanation[K], number>();
  for (const one of explanations) sums.set(one[by], (sums.get(one[by]) ?? 0) + one.probability);
  // Ties keep the order of the ranking, because sorting is stable and the map keeps the order of first sight. A sum of rounded
  // numbers may end a hair above 1.
  return [...sums]
    .map(([of, sum]): [RankedExplanation[K], number] => [of, Math.min(1, sum)])
    .sort((a, b) => b[1] - a[1]);
}

/** Every seen observation with its weight for the leading explanation; those that do not count weigh nothing. */
function evidenceFor(weighed: Weighed, leader: number): WeighedObservation[] {
  const { of, seen, counts } = weighed;
  const rest = standingOfRest(weighed, leader);
  const evidence = of.rows.flatMap((row, r): WeighedObservation[] => {
    if (seen[r] === NOT_CHECKED) return [];
    const counted = counts[r] === 1;
    return [
      {
        observation: row.id,
        says: row.says,
        sighting: seen[r] === PRESENT ? 'present' : 'absent',
        decibans: counted ? weightOf(weighed, rest, leader, r) : 0,
        counted,
      },
    ];
  });
  return evidence.sort(
    (a, b) =>
      Number(b.counted) - Number(a.counted) ||
      Math.abs(b.decibans) - Math.abs(a.decibans) ||
      (a.observation < b.observation ? -1 : 1),
  );
}

/**
 * Weight of evidence of one row: decibans by which it moves the odds of the leader, given everything else that counts.
 * The leader's own part is P(o|leader); the rest's is P(o|e) averaged by how the rest stood without o, and `rest` holds
 * how it stands with o, relative to its greatest so that nothing underflows.
 */
function weightOf({ of, seen }: Weighed, rest: Float64Array, leader: number, row: number): number {
  const columns = of.explanations.length;
  if (columns < 2) return 0;
  const probabilities = seen[row] === PRESENT ? of.present : of.absent;
  let withRow = 0;
  let withoutRow = 0;
  for (let e = 0, here = row * columns; e < columns; e += 1, here += 1) {
    const weight = at(rest, e);
    withRow += weight;
    withoutRow += weight / at(probabilities, here);
  }
  return DECIBANS_PER_NAT * Math.log((at(probabilities, row * columns + leader) * withoutRow) / withRow);
}

/** How the explanations other than the leader stand to each other; the leader's own place holds 0. */
function standingOfRest({ logJoint }: Weighed, leader: number): Float64Array {
  let most = -Infinity;
  logJoint.forEach((log, e) => (most = e === leader ? most : Math.max(most, log)));
  return logJoint.map((log, e) => (e === leader ? 0 : Math.exp(log - most)));
}

function tailUnder({ of, seen, counts }: Weighed, column: number): number {
  const rows = of.rows.map((_, r) => r).filter((r) => counts[r] === 1);
  return surpriseTail(
    rows.map((r) => at(of.present, r * of.explanations.length + column)),
    rows.map((r) => seen[r] === PRESENT),
  );
}

/** Shannon entropy in bits; 0 log 0 is 0. */
export function entropyBits(probabilities: Float64Array): number {
  let nats = 0;
  for (const p of probabilities) if (p > 0) nats -= p * Math.log(p);
  return Math.max(0, nats / Math.LN2);
}
