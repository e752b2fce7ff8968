import { useEffect, useId, useRef, useState, type ReactNode } from 'react';
import { count, showTime } from '../../domain/time-words.js';
import { TroubleNote } from '../parts/fields.js';
import { Mark, Note } from '../parts/parts.js';
import { ChangeTable } from './change-table.js';
import { faultPlace } from './fault-words.js';
import type { TypedModel } from './model-edits.js';
import type { ModelDraft } from './use-model-draft.js';

const MOST_FAULTS = 12;

interface SaveBarProps {
  readonly draft: ModelDraft;
  readonly onLead: (pointer: string) => void;
}

/** How a draft that is being changed stands: what is unsaved, what is wrong, what somebody else saved meanwhile. */
export function SaveBar({ draft, onLead }: SaveBarProps): ReactNode {
  const { unsaved, faults, overtaken } = draft;
  const [asked, setAsked] = useState<TypedModel>();
  const list = useRef<HTMLDivElement>(null);
  // Only for what stood there when saving was asked for; the next letter is another state.
  const refused = asked === draft.typed && faults.length > 0;
  const save = (): void => {
    if (draft.faultsNow().length > 0) setAsked(draft.typed);
    else if (unsaved.length > 0 && !draft.saving) draft.save();
  };
  useEffect(() => {
    if (refused) list.current?.focus();
  }, [refused]);
  useSaveKey(save);
  return (
    <>
      <section className="savebar row spread" aria-label="This draft">
        <p role="status" className="row">
          <Standing draft={draft} />
        </p>
        {faults.length === 0 ? null : (
          <button type="button" className="linklike" onClick={() => list.current?.focus()}>
            {faults.length === 1 ? 'One thing is wrong' : `${faults.length} things are wrong`}
          </button>
        )}
        <p className="row">
          <button type="button" disabled={draft.undo === undefined} onClick={() => draft.undo?.()}>
            Undo
          </button>
          <button type="button" disabled={unsaved.length === 0} onClick={draft.putBack}>
            Put back
          </button>
          <button type="button" className="go" disabled={unsaved.length === 0 || draft.saving} onClick={save}>
            {draft.saving ? 'Saving…' : 'Save'} <kbd>Ctrl S</kbd>
          </button>
        </p>
      </section>
      <div className="savenotes">
        {overtaken ? <Overtaken draft={draft} /> : <TroubleNote trouble={draft.trouble} />}
        {draft.kept ? null : (
          <Note tone="warn" title="This browser keeps nothing.">
            <p>What you type lasts only as long as this page is open. Save often.</p>
          </Note>
        )}
        {faults.length === 0 ? null : (
          <div className="note bad" tabIndex={-1} ref={list}>
            <strong>
              {refused ? 'It cannot be saved yet. ' : ''}
              {faults.length === 1 ? 'One thing is wrong with it' : `${faults.length} things are wrong with it`}
            </strong>
            <FaultList draft={draft} onLead={onLead} />
          </div>
        )}
      </div>
    </>
  );
}

function FaultList({ draft, onLead }: SaveBarProps): ReactNode {
  const { faults, typed } = draft;
  return (
    <>
      <ul>
        {faults.slice(0, MOST_FAULTS).map(({ pointer, detail }) => (
          <li key={`${pointer} ${detail}`}>
            <button type="button" className="linklike" onClick={() => onLead(pointer)}>
              {detail}
            </button>
            <span className="sub">{faultPlace(pointer, typed)}</span>
          </li>
        ))}
      </ul>
      {faults.length > MOST_FAULTS ? <p>and {faults.length - MOST_FAULTS} more.</p> : null}
    </>
  );
}

function Standing({ draft }: { readonly draft: ModelDraft }): ReactNode {
  if (draft.unsaved.length > 0)
    return (
      <>
        <Mark shape="half" tone="warn" says={`${count(draft.unsaved.length, 'change')} not saved`} />
        <span className="quiet small">Kept in this browser until you save.</span>
      </>
    );
  return (
    <>
      <Mark shape="tick" tone="ok" says="Nothing unsaved" />
      {draft.savedAt === undefined ? null : <span className="quiet small">Saved {showTime(draft.savedAt)}.</span>}
    </>
  );
}

/** Somebody else saved the same draft: what they changed, and how to go on. */
function Overtaken({ draft }: { readonly draft: ModelDraft }): ReactNode {
  const id = useId();
  return (
    <div className="note warn" role="alert">
      <strong id={id}>Somebody else saved this draft in the meantime.</strong>
      <p>
        What you typed is kept and nothing of theirs was overwritten. Look at what they changed, then go on from it:
        your changes are put on top, and where you both changed the same explanation or sign, yours stands.
      </p>
      {draft.theirs.length === 0 ? (
        <p>They changed nothing that counts.</p>
      ) : (
        <details>
          <summary>What they changed ({draft.theirs.length})</summary>
          <ChangeTable caption="What they changed" changes={draft.theirs} from={draft.sound} to={draft.sound} />
        </details>
      )}
      <p className="row">
        <button type="button" className="go" onClick={draft.goOn}>
          Go on from theirs
        </button>
        <button type="button" onClick={draft.putBack}>
          Take theirs, drop mine
        </button>
      </p>
    </div>
  );
}

/** Ctrl+S or Cmd+S saves, also while somebody types. */
function useSaveKey(save: () => void): void {
  const latest = useRef(save);
  latest.current = save;
  useEffect(() => {
    const listen = (event: KeyboardEvent): void => {
      if (!(event.ctrlKey || event.metaKey) || event.altKey || event.key.toLowerCase() !== 's') return;
      event.preventDefault();
      latest.current();
    };
    document.addEventListener('keydown', listen);
    return () => document.removeEventListener('keydown', listen);
  }, []);
}
