import type { ReactNode } from 'react';
import type { CaseData } from '../../case-data.js';
import { showTime } from '../../domain/time-words.js';
import { useCasePhones } from '../api/phones.js';
import { Mark } from '../parts/parts.js';
import { wordsOf } from './said-words.js';

/** Beside an answer: that two phones do not agree on it, what was settled, and the time by a phone whose clock was off. */
export function AnswerPhones({ view, item }: { readonly view: CaseData; readonly item: string }): ReactNode {
  const { data } = useCasePhones(view.claim.id, view.claim.visitId);
  const found = data?.disagreements.find((each) => each.item === item);
  const saidAt = data?.saidAt[item];
  return (
    <>
      {saidAt === undefined ? null : (
        <span className="sub">{showTime(saidAt, view.visit.zone)} by the phone’s own clock</span>
      )}
      {found === undefined ? null : found.open ? (
        <a href="#phones">
          <Mark shape="triangle" tone="warn" says="Two phones disagree" />
        </a>
      ) : (
        <a href="#phones">
          <Mark shape="tick" tone="ok" says={`Settled: ${wordsOf(view, item, found.settled?.value).said}`} />
        </a>
      )}
    </>
  );
}
