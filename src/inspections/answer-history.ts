import type { Fault } from '../kernel/outcome.js';
import { pointer } from '../kernel/outcome.js';
import { checkAnswer, type Answer, type Checklist, type UnitInHand } from './inspections.contract.js';

/** An answer and when it was given. */
export interface DatedAnswer extends Answer {
  /** RFC 3339 instant */
  readonly answeredAt: string;
}

/** The newest answer of every item. @param history in the order in which the answers were given */
export function currentAnswers(history: readonly DatedAnswer[]): Answer[] {
  const newest = new Map<string, Answer>();
  for (const { item, value, note } of history)
    newest.set(item, { item, value, ...(note === undefined ? {} : { note }) });
  return [...newest.values()];
}

/** Answers, with those in place of them that an analyst settled where phones disagreed. What was settled stands, also if no answer did. */
export function withSettled(current: readonly Answer[], settled: readonly Answer[]): Answer[] {
  const items = new Set(settled.map(({ item }) => item));
  return [...current.filter(({ item }) => !items.has(item)), ...settled];
}

/** The history with more answers put where they belong in time; at the same instant behind those that are there already. */
export function mergedHistory(history: readonly DatedAnswer[], more: readonly DatedAnswer[]): DatedAnswer[] {
  return [...history, ...more].toSorted((a, b) =>
    Temporal.Instant.compare(Temporal.Instant.from(a.answeredAt), Temporal.Instant.from(b.answeredAt)),
  );
}

/**
 * What is wrong with a batch of answers. Each is checked against what had been answered when it was given, so that a phone without a
 * signal may send a question, its answer and a later change of mind in one batch and in any order.
 * @returns faults with pointers `#/answers/<index>/…`
 */
export function batchFaults(
  checklist: Checklist,
  history: readonly DatedAnswer[],
  batch: readonly DatedAnswer[],
  unit: UnitInHand,
): Fault[] {
  const merged = mergedHistory(history, batch);
  return batch.flatMap((answer, index) => {
    const before = currentAnswers(merged.slice(0, merged.indexOf(answer)));
    return checkAnswer(checklist, before, unit, answer).map((fault) => ({
      pointer: pointer('#/answers', index) + fault.pointer.slice(1),
      detail: fault.detail,
    }));
  });
}
