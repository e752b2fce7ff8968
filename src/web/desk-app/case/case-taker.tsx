import { useRef, type ReactNode } from 'react';
import type { CaseData } from '../../case-data.js';
import { takerWords } from '../../domain/taker-words.js';
import { useTaking } from '../api/taking.js';
import { useKeys } from '../keys.js';
import { TroubleNote } from '../parts/fields.js';

/** Who has the case, and the button that takes it, takes it over or puts it back. */
export function CaseTaker({ view }: { readonly view: CaseData }): ReactNode {
  const { claim, line, me, mayAct } = view;
  const { takenBy } = line;
  const { take, putBack, running, trouble } = useTaking();
  const button = useRef<HTMLButtonElement>(null);
  const mine = takenBy?.id === me;
  const ended = claim.state === 'closed' || claim.state === 'withdrawn';
  const does = mine ? 'Put back' : takenBy === null ? 'Take' : `Take over from ${takenBy.name}`;
  const act = (): void => {
    if (mine) putBack([{ id: claim.id }]);
    else take([takenBy === null ? { id: claim.id } : { id: claim.id, from: takenBy.id }]);
  };
  useKeys({
    // What somebody else has is not taken by one key alone.
    t: () => (takenBy === null || mine ? button.current?.click() : button.current?.focus()),
  });
  if (ended && takenBy === null) return null;
  return (
    <>
      <span role="status">{takerWords(takenBy, me)}</span>
      {mayAct && (mine || !ended) ? (
        <button ref={button} type="button" className="noprint" disabled={running} onClick={act}>
          {does} <kbd aria-hidden="true">t</kbd>
        </button>
      ) : null}
      <TroubleNote trouble={trouble} />
    </>
  );
}
