import type { EvidenceModel, FindingBar, NextCheck } from '../diagnosis.contract.js';
import type { Observations } from '../../inspections/inspections.contract.js';
import type { CompiledModel } from './compile-model.js';
import { compiled } from './compile-model.js';
import { entropyBits } from './findings.js';
import type { Weighed } from './weighing.js';
import { ABSENT, at, isOpen, NOT_CHECKED, outspeaks, PRESENT, sightingsOf, weigh, whole } from './weighing.js';

/**
 * The checks still worth the crew's time, best first: for every observation not yet made that informs an open finding,
 * the fall in entropy (bits) to be expected of that finding, per second of effort. Checks that would lower it by less
 * than `bar.worthBits` are left out. Groups are honoured: an outcome that a stronger sighting of its group drowns out
 * changes nothing. `limit` cuts the list.
 */
export function nextChecks(
  model: EvidenceModel | CompiledModel,
  observations: Observations,
  bar: FindingBar,
  limit = Infinity,
): NextCheck[] {
  const ready = compiled(model);
  const sightings = sightingsOf(ready, observations);
  return ready.subjects
    .filter((subject) => isOpen(subject, sightings))
    .flatMap((subject) => checksOf(weigh(subject, sightings), bar))
    .sort(
      (a, b) =>
        b.bitsPerSecond - a.bitsPerSecond || compare(a.observation, b.observation) || compare(a.subject, b.subject),
    )
    .slice(0, limit);
}

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

function checksOf(weighed: Weighed, bar: FindingBar): NextCheck[] {
  const { of } = weighed;
  const before = entropyBits(weighed.posterior);
  if (before < bar.worthBits) return [];
  return of.rows.flatMap((row, r): NextCheck[] => {
    if (weighed.seen[r] !== NOT_CHECKED) return [];
    const expectedBits = before - expectedEntropyBits(weighed, r, before);
    if (!(expectedBits >= bar.worthBits && expectedBits > 0)) return [];
    return [
      {
        observation: row.id,
        item: row.item,
        says: row.check,
        subject: of.subject.id,
        expectedBits,
        effortSeconds: row.effortSeconds,
        bitsPerSecond: expectedBits / row.effortSeconds,
      },
    ];
  });
}

/** Entropy after the check, averaged over its two outcomes as the current posterior predicts them. */
function expectedEntropyBits(weighed: Weighed, row: number, before: number): number {
  return [PRESENT, ABSENT].reduce((sum, outcome) => {
    const chance = predicted(weighed, row, outcome);
    return chance > 0 ? sum + chance * entropyAfter(weighed, row, outcome, before) : sum;
  }, 0);
}

function predicted({ of, posterior }: Weighed, row: number, outcome: number): number {
  const columns = of.explanations.length;
  const probabilities = outcome === PRESENT ? of.present : of.absent;
  let chance = 0;
  for (let e = 0; e < columns; e += 1) chance += at(posterior, e) * at(probabilities, row * columns + e);
  return chance;
}

function entropyAfter(weighed: Weighed, row: number, outcome: number, before: number): number {
  const { of, speaker } = weighed;
  const group = whole(of.group, row);
  const spoken = group < 0 ? -1 : whole(speaker, group);
  if (spoken < 0) return entropyOfProduct(weighed, row, outcome, -1);
  const heard = outspeaks(of, { row, seen: outcome }, { row: spoken, seen: whole(weighed.seen, spoken) });
  return heard ? entropyOfProduct(weighed, row, outcome, spoken) : before;
}

/**
 * Entropy in bits of the posterior times the likelihood of one outcome, divided by that of a row it replaces (-1: none).
 * With weights w summing to S and logarithms l, the entropy is log S - sum(w·l)/S, which spares a logarithm per column.
 */
function entropyOfProduct(weighed: Weighed, row: number, outcome: number, replaces: number): number {
  const { of, logPosterior, posterior, seen } = weighed;
  const columns = of.explanations.length;
  const [plain, logs] = outcome === PRESENT ? [of.present, of.logPresent] : [of.absent, of.logAbsent];
  const oldIsPresent = replaces >= 0 && seen[replaces] === PRESENT;
  const oldLogs = oldIsPresent ? of.logPresent : of.logAbsent;
  let total = 0;
  let weightedLogs = 0;
  for (let e = 0, here = row * columns; e < columns; e += 1, here += 1) {
    let weight = at(posterior, e) * at(plain, here);
    let log = at(logPosterior, e) + at(logs, here);
    if (replaces >= 0) {
      const old = at(oldLogs, replaces * columns + e);
      weight *= Math.exp(-old);
      log -= old;
    }
    total += weight;
    weightedLogs += weight * log;
  }
  return total > 0 ? Math.max(0, (Math.log(total) - weightedLogs / total) / Math.LN2) : 0;
}
