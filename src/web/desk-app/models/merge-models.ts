import type { EvidenceModel } from '../../../diagnosis/diagnosis.contract.js';
import type { TypedModel } from './model-edits.js';

/**
 * What was typed, put on top of what somebody else saved: every thing that was changed here is taken as it was typed, every other as it
 * was saved; so are things that were added or taken out here.
 */
export function onTop(base: EvidenceModel, typed: TypedModel, saved: EvidenceModel): TypedModel {
  const { title, basis } = typed;
  return {
    ...saved,
    ...(title === base.title ? {} : { title }),
    ...(basis === base.basis ? {} : { basis }),
    subjects: merged(base.subjects, typed.subjects, saved.subjects),
    explanations: merged(base.explanations, typed.explanations, saved.explanations),
    observations: merged(base.observations, typed.observations, saved.observations),
  };
}

function merged<T extends { readonly id: string }>(
  base: readonly T[],
  typed: readonly T[],
  saved: readonly T[],
): readonly T[] {
  const before = new Map(base.map((one) => [one.id, JSON.stringify(one)]));
  const mine = new Map(typed.map((one) => [one.id, one]));
  const isMine = (one: T): boolean => before.get(one.id) !== JSON.stringify(one);
  const there = new Set(saved.map(({ id }) => id));
  const stayed = saved.flatMap((one) => {
    const here = mine.get(one.id);
    // Taken out here, though it was there when the typing began.
    if (here === undefined) return before.has(one.id) ? [] : [one];
    return [isMine(here) ? here : one];
  });
  return [...stayed, ...typed.filter((one) => !there.has(one.id) && isMine(one))];
}
