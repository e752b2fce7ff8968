import type { Observations } from '../../inspections/inspections.contract.js';
import type { CompiledModel, CompiledSubject } from './compile-model.js';

/** What was seen of each observation of a model, by its place. */
export type Sightings = Uint8Array;
export const NOT_CHECKED = 0;
export const PRESENT = 1;
export const ABSENT = 2;

/**
 * Lays observations out by place. Codes that the model does not know are left aside.
 * @throws RangeError when a code is both present and absent.
 */
export function sightingsOf(model: CompiledModel, observations: Observations): Sightings {
  const sightings = new Uint8Array(model.model.observations.length);
  for (const id of observations.present) {
    const place = model.places.get(id);
    if (place !== undefined) sightings[place] = PRESENT;
  }
  for (const id of observations.absent) {
    const place = model.places.get(id);
    if (place === undefined) continue;
    if (sightings[place] === PRESENT)
      throw new RangeError(`"${id}" is given as present and as absent; it can be only one of them`);
    sightings[place] = ABSENT;
  }
  return sightings;
}

/** One subject weighed: which rows were seen, which of them count, and where that leaves its explanations. */
export interface Weighed {
  readonly of: CompiledSubject;
  /** NOT_CHECKED, PRESENT or ABSENT by row. */
  readonly seen: Uint8Array;
  /** 1 where the row counts: seen, and the strongest of its group. */
  readonly counts: Uint8Array;
  /** Row that speaks for each group; -1 where nothing of it was seen. */
  readonly speaker: Int32Array;
  /** Natural logarithm of prior × likelihoods, by explanation, not normalised. */
  readonly logJoint: Float64Array;
  /** The same normalised, as logarithms and as probabilities. */
  readonly logPosterior: Float64Array;
  readonly posterior: Float64Array;
}

/** True when something was seen that opens a finding on this subject. */
export function isOpen(subject: CompiledSubject, sightings: Sightings): boolean {
  return subject.opens.some((place) => sightings[place] === PRESENT);
}

/**
 * Bayes over the explanations of one subject, in log space. Present multiplies by P(o|e), absent by 1 - P(o|e), not
 * checked by nothing; of a group only the strongest counts. Sums run in the model's order, so the order of answers
 * cannot change the last digit.
 */
export function weigh(of: CompiledSubject, sightings: Sightings): Weighed {
  const seen = new Uint8Array(of.rowPlaces.length);
  for (let r = 0; r < seen.length; r += 1) seen[r] = sightings[whole(of.rowPlaces, r)] ?? NOT_CHECKED;
  const { counts, speaker } = strongestOfGroups(of, seen);
  const columns = of.explanations.length;
  const logJoint = of.logPrior.slice();
  for (let r = 0; r < seen.length; r += 1) {
    if (counts[r] === 0) continue;
    const logs = seen[r] === PRESENT ? of.logPresent : of.logAbsent;
    for (let e = 0; e < columns; e += 1) logJoint[e] = at(logJoint, e) + at(logs, r * columns + e);
  }
  const logEvidence = logSumExp(logJoint);
  const logPosterior = new Float64Array(columns);
  const posterior = new Float64Array(columns);
  for (let e = 0; e < columns; e += 1) {
    const log = at(logJoint, e) - logEvidence;
    logPosterior[e] = log;
    // Rounding may leave a logarithm a hair above 0; no probability is above 1.
    posterior[e] = Math.min(1, Math.exp(log));
  }
  return { of, seen, counts, speaker, logJoint, logPosterior, posterior };
}

function strongestOfGroups(of: CompiledSubject, seen: Uint8Array): { counts: Uint8Array; speaker: Int32Array } {
  const counts = new Uint8Array(seen.length);
  const speaker = new Int32Array(of.groups).fill(-1);
  for (let r = 0; r < seen.length; r += 1) {
    if (seen[r] === NOT_CHECKED) continue;
    const group = whole(of.group, r);
    if (group < 0) counts[r] = 1;
    else if (speaksLouder(of, seen, r, whole(speaker, group))) speaker[group] = r;
  }
  for (const row of speaker) if (row >= 0) counts[row] = 1;
  return { counts, speaker };
}

/** Stronger goes first; of equals the one whose id sorts first, so that the order of rows decides nothing. */
function speaksLouder(of: CompiledSubject, seen: Uint8Array, row: number, than: number): boolean {
  if (than < 0) return true;
  return outspeaks(of, { row, seen: whole(seen, row) }, { row: than, seen: whole(seen, than) });
}

/** Whether one sighting would count instead of another of the same group. */
export function outspeaks(
  of: CompiledSubject,
  one: { readonly row: number; readonly seen: number },
  other: { readonly row: number; readonly seen: number },
): boolean {
  const mine = strength(of, one);
  const theirs = strength(of, other);
  if (mine !== theirs) return mine > theirs;
  return (of.rows[one.row]?.id ?? '') < (of.rows[other.row]?.id ?? '');
}

function strength(of: CompiledSubject, sighting: { readonly row: number; readonly seen: number }): number {
  return at(sighting.seen === PRESENT ? of.strengthPresent : of.strengthAbsent, sighting.row);
}

/** log of the sum of exponentials, without overflow or underflow; `without` leaves one entry out. */
export function logSumExp(logs: Float64Array, without = -1): number {
  let most = -Infinity;
  for (let i = 0; i < logs.length; i += 1) if (i !== without && at(logs, i) > most) most = at(logs, i);
  if (most === -Infinity) return -Infinity;
  let sum = 0;
  for (let i = 0; i < logs.length; i += 1) if (i !== without) sum += Math.exp(at(logs, i) - most);
  return most + Math.log(sum);
}

/** A number of an array of doubles at a place that is known to exist. One kind of array only, so that engines inline it. */
export function at(numbers: Float64Array, place: number): number {
  return numbers[place] as number;
}

/** The same for arrays of small integers, outside inner loops. */
export function whole(numbers: Int32Array | Uint8Array, place: number): number {
  return numbers[place] as number;
}
