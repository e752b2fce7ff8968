import { canonicalJson } from '../../kernel/canonical-json.js';
import type { PhoneFact } from '../phone-facts.contract.js';

/** A phone's clock counts as right within this; beyond it both times are shown. Common practice. */
export const CLOCK_TOLERANCE_SECONDS = 600;

/** The most facts that one request brings. */
export const MOST_FACTS = 100;

/** The text whose SHA-256 names a fact's content, on the phone and here: its canonical JSON (RFC 8785), id and counter included. */
export function factText({ id, n, kind, inspection, at, body }: PhoneFact): string {
  return canonicalJson({ id, n, kind, ...(inspection === undefined ? {} : { inspection }), at, body });
}

/**
 * When something happened by our clock. A phone's own time stands unless its clock is off by more than the tolerance; then it is moved by
 * as much as the clock was off when the phone sent. Nothing lies in the future.
 * @param at milliseconds by the phone, `aheadSeconds` by how much its clock runs ahead, `now` milliseconds by ours
 */
export function happenedAtMs(at: number, aheadSeconds: number, now: number): number {
  const moved = Math.abs(aheadSeconds) > CLOCK_TOLERANCE_SECONDS ? at - aheadSeconds * 1000 : at;
  return Math.min(moved, now);
}

/** The numbers that a phone has given out and that have not come, lowest first; at most `limit`. */
export function missingNumbers(countedTo: number, known: readonly number[], limit: number): number[] {
  const here = new Set(known);
  const missing: number[] = [];
  for (let n = 1; n <= countedTo && missing.length < limit; n += 1) if (!here.has(n)) missing.push(n);
  return missing;
}

/** One phone's answer to an item. */
export interface PhoneAnswer {
  /** uuid of the fact that says it */
  readonly fact: string;
  readonly phone: string;
  readonly item: string;
  readonly value: unknown;
}

/**
 * Items to which phones gave different answers, with the newest answer of each phone. Nobody's answer is thrown away: an analyst settles it.
 * @param answers in the order in which each phone counted them
 */
export function disagreements<A extends PhoneAnswer>(
  answers: readonly A[],
): { readonly item: string; readonly answers: readonly A[] }[] {
  const byItem = Map.groupBy(answers, ({ item }) => item);
  return [...byItem].flatMap(([item, given]) => {
    const newest = [...new Map(given.map((answer) => [answer.phone, answer])).values()];
    const differ = new Set(newest.map(({ value }) => canonicalJson(value))).size > 1;
    return differ ? [{ item, answers: newest }] : [];
  });
}

/** A disagreement is settled as long as no phone has said anything new on it. @param settled facts that an analyst had before them */
export function isSettled(answers: readonly PhoneAnswer[], settled: readonly string[]): boolean {
  return answers.every(({ fact }) => settled.includes(fact));
}
