import type { ReactNode } from 'react';
import type { LearntNumber } from '../../../diagnosis/diagnosis.contract.js';
import { count } from '../../domain/time-words.js';
import type { Typed } from './model-edits.js';
import { showNumber } from './weights.js';

/** Whether a number is an estimate or was learnt, and what it was before. */
export function LearntMark({ learnt }: { readonly learnt: Typed<LearntNumber> | undefined }): ReactNode {
  if (learnt === undefined) return <span className="sub">estimate</span>;
  return (
    <span className="sub">
      learnt from {count(Number(learnt.claims), 'claim')}, was {showNumber(learnt.was)}
    </span>
  );
}
