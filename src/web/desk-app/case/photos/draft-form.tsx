import type { ReactNode, RefObject } from 'react';
import { TroubleNote } from '../../parts/fields.js';
import type { DraftHands } from './use-draft.js';

/** Words for the region that is being marked, and the ways out. */
export function DraftForm(props: {
  readonly marking: DraftHands;
  readonly words: RefObject<HTMLInputElement | null>;
}): ReactNode {
  const { marking, words } = props;
  const box = marking.draft?.box;
  if (box === undefined) return null;
  return (
    <form
      className="draft stack noprint"
      aria-label="Mark"
      onSubmit={(event) => {
        event.preventDefault();
        marking.keep(words.current?.value.trim() ?? '');
      }}
      onKeyDown={(event) => {
        if (event.key !== 'Escape') return;
        event.preventDefault();
        marking.putAway();
      }}
    >
      <TroubleNote trouble={marking.trouble} />
      <p className="small quiet" role="status">
        {percent(box.x)} from the left, {percent(box.y)} from the top; {percent(box.w)} wide, {percent(box.h)} high.
        Draw it with the pointer, or move it with the arrows and size it with Shift and the arrows; Enter keeps it,
        Escape puts it away.
      </p>
      <div className="row">
        <div className="field">
          <label htmlFor="mark-says">What is to be seen there</label>
          <input id="mark-says" ref={words} type="text" maxLength={500} autoComplete="off" />
        </div>
        <button className="go" disabled={marking.keeping}>
          {marking.keeping ? 'Sending…' : 'Keep the mark'}
        </button>
        <button type="button" onClick={marking.putAway}>
          Put it away
        </button>
      </div>
    </form>
  );
}

function percent(part: number): string {
  return `${Math.round(part * 100)} %`;
}
