import type { ReactNode } from 'react';
import { dueIn } from '../../domain/time-words.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { Mark } from './mark.js';

interface DueProps {
  /** RFC 3339; null where no clock runs. */
  readonly dueAt: string | null;
  readonly dueClock: string | null;
  readonly now: string;
}

/** How far off the nearest deadline is, and which it is. */
export function DueMark({ dueAt, dueClock, now }: DueProps): ReactNode {
  if (dueAt === null) return <span className="quiet">No clock runs</span>;
  const due = dueIn(dueAt, now);
  const says = sentenceCase(due.says);
  return (
    <>
      {due.late ? (
        <Mark shape="triangle" tone="bad" says={says} />
      ) : due.soon ? (
        <Mark shape="half" tone="warn" says={says} />
      ) : (
        says
      )}
      {dueClock === null ? null : <span className="sub">{sentenceCase(dueClock.replaceAll('-', ' '))}</span>}
    </>
  );
}
