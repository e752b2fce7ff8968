import type { ReactNode } from 'react';
import { showDate } from '../../../domain/time-words.js';
import { Facts, Note } from '../../parts/parts.js';
import type { Draft } from './draft-history.js';

interface AboutProps {
  readonly draft: Draft;
  /** Absent where nobody may write. */
  readonly onWrite?: ((draft: Draft) => void) | undefined;
}

/** What a policy is, for where, and on which days it is to hold. */
export function AboutPart({ draft, onWrite }: AboutProps): ReactNode {
  const { document } = draft;
  const write = (change: Partial<Pick<Draft['document'], 'title' | 'caution'>>): void =>
    onWrite?.({ ...draft, document: { ...document, ...change } });
  return (
    <div className="stack">
      {onWrite === undefined ? (
        <>
          <Note tone="warn" title="Caution">
            <p>{document.caution}</p>
          </Note>
          <Facts
            of={[
              ['To hold from', showDate(draft.effectiveFrom)],
              ['Until', draft.effectiveTo === undefined ? 'a later version begins' : showDate(draft.effectiveTo)],
            ]}
          />
        </>
      ) : (
        <>
          <div className="field">
            <label htmlFor="title">Title</label>
            <input
              id="title"
              value={document.title}
              maxLength={200}
              onChange={(event) => write({ title: event.currentTarget.value })}
            />
          </div>
          <div className="field">
            <label htmlFor="caution">Caution</label>
            <span className="hint" id="caution-hint">
              Stands above everything that is read of this policy.
            </span>
            <textarea
              id="caution"
              aria-describedby="caution-hint"
              rows={4}
              value={document.caution}
              onChange={(event) => write({ caution: event.currentTarget.value })}
            />
          </div>
          <div className="row">
            <DayField
              id="effective-from"
              label="To hold from"
              value={draft.effectiveFrom}
              onWrite={(day) => day !== '' && onWrite({ ...draft, effectiveFrom: day })}
            />
            <DayField
              id="effective-to"
              label="Until, without that day"
              hint="Empty: until a later version begins."
              value={draft.effectiveTo ?? ''}
              onWrite={(day) => onWrite({ ...draft, effectiveTo: day === '' ? undefined : day })}
            />
          </div>
        </>
      )}
      <Facts
        of={[
          ['Policy', document.id],
          ['Place', document.jurisdiction],
          ['Dated by', document.governedBy],
          ['Time zone', document.zone],
          ['Money', `${document.money.currency}, rounded ${document.money.rounding.replaceAll('-', ' ')}`],
        ]}
      />
    </div>
  );
}

interface DayProps {
  readonly id: string;
  readonly label: string;
  readonly hint?: string;
  readonly value: string;
  readonly onWrite: (day: string) => void;
}

function DayField({ id, label, hint, value, onWrite }: DayProps): ReactNode {
  return (
    <div className="field short">
      <label htmlFor={id}>{label}</label>
      {hint === undefined ? null : (
        <span className="hint" id={`${id}-hint`}>
          {hint}
        </span>
      )}
      <input
        id={id}
        type="date"
        value={value}
        {...(hint === undefined ? {} : { 'aria-describedby': `${id}-hint` })}
        onChange={(event) => onWrite(event.currentTarget.value)}
      />
    </div>
  );
}
