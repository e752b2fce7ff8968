import type { RehearsalRow } from '../store/rehearsal.store.js';
import type { RehearsalView } from './rehearsal.dto.js';

/** A rehearsal as the interface shows it. @param whole with what it found */
export function toRehearsalView(row: RehearsalRow, whole = true): RehearsalView {
  const { id, code, version, hash, state, wish, claims, done, askedBy, askedAt, finishedAt, result, problem } = row;
  const { oneIn, comparedWith, ...asked } = wish;
  return {
    id,
    code,
    version,
    hash,
    state,
    wish: asked,
    ...(oneIn === undefined ? {} : { oneIn }),
    ...(comparedWith === undefined ? {} : { comparedWith }),
    ...(claims === null ? {} : { claims }),
    done,
    askedBy,
    askedAt,
    ...(finishedAt === null ? {} : { finishedAt }),
    ...(result === null || !whole ? {} : { result }),
    ...(problem === null ? {} : { problem }),
  };
}
