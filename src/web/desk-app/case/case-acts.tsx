import { useRef, useState, type ReactNode } from 'react';
import type { CaseData } from '../../case-data.js';
import type { ClaimAct } from '../../domain/claim-acts.js';
import { TroubleNote } from '../parts/fields.js';
import { Note } from '../parts/parts.js';
import { ACT_FORMS } from './case-act-forms.js';
import { useAct } from './use-act.js';
import type { Seen } from './use-seen.js';

/** The acts that the case has room for, each folded away behind its name until it is wanted. */
export function CaseActs({ view, seen }: { readonly view: CaseData; readonly seen: Seen }): ReactNode {
  const [typed, setTyped] = useState<ReadonlySet<ClaimAct>>(new Set());
  if (!view.mayAct) return null;
  const { notYours } = view.acts;
  // A note can be written whatever the state.
  const acts: readonly ClaimAct[] = [...view.acts.acts, 'note'];
  // What somebody has typed stays on the page, also where the act has become impossible meanwhile.
  const shown = [...acts, ...[...typed].filter((act) => !acts.includes(act))];
  const note = (act: ClaimAct, is: boolean): void => {
    const now = new Set(is ? [...typed, act] : [...typed].filter((each) => each !== act));
    setTyped(now);
    seen.typed(now.size > 0);
  };
  return (
    <section className="sheet acts" id="acts">
      <h2>Your move</h2>
      {notYours === null ? null : (
        <Note tone="info">
          <p>{notYours}</p>
        </Note>
      )}
      {view.acts.acts.length === 0 && notYours === null ? (
        <p className="quiet">Nothing is left to decide here.</p>
      ) : null}
      {shown.map((act) => (
        <Act
          key={act}
          view={view}
          act={act}
          seen={seen}
          gone={!acts.includes(act)}
          onTyped={() => note(act, true)}
          onDone={() => note(act, false)}
        />
      ))}
    </section>
  );
}

interface OneActProps {
  readonly view: CaseData;
  readonly act: ClaimAct;
  readonly seen: Seen;
  /** The case has no room for it any more, but something was typed. */
  readonly gone: boolean;
  readonly onTyped: () => void;
  readonly onDone: () => void;
}

function Act({ view, act, seen, gone, onTyped, onDone }: OneActProps): ReactNode {
  const { title, button, tone, fields } = ACT_FORMS[act];
  const form = useRef<HTMLFormElement>(null);
  const taken = (): void => {
    form.current?.reset();
    onDone();
  };
  const { run, trouble, running } = useAct(view.claim.id, { taken, overtaken: seen.look });
  const [open, setOpen] = useState(view.acts.acts[0] === act && act !== 'withdraw');
  return (
    <details className="act" id={act} open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{title}</summary>
      <form
        ref={form}
        className="stack"
        onInput={onTyped}
        onSubmit={(event) => {
          event.preventDefault();
          if (!gone) run(act, seen.version, new FormData(event.currentTarget));
        }}
      >
        <TroubleNote trouble={trouble} />
        {gone ? (
          <Note tone="warn" title="This cannot be done any more.">
            <p>{view.standing.says} What you typed is kept here so that you can copy it.</p>
          </Note>
        ) : null}
        {fields({ view, act, trouble })}
        {gone ? (
          <button type="button" onClick={onDone}>
            Put it away
          </button>
        ) : (
          <button className={tone} disabled={running}>
            {running ? 'Sending…' : button}
          </button>
        )}
      </form>
    </details>
  );
}
