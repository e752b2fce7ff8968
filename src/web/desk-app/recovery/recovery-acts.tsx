import { useRef, useState, type ReactNode } from 'react';
import { recoveryActs, type RecoveryActName } from '../../domain/recovery-acts.js';
import { Trouble } from '../api/http.js';
import { useRecoveryAct, type Recovery } from '../api/recoveries.js';
import { TroubleNote } from '../parts/fields.js';
import { bodyOf, RECOVERY_FORMS } from './recovery-forms.js';

/** What may be done to a recovery now, each folded away until it is wanted. */
export function RecoveryActs({ recovery }: { readonly recovery: Recovery }): ReactNode {
  const acts = recoveryActs(recovery.state);
  return (
    <section className="sheet acts" id="acts">
      <h2>Your move</h2>
      {acts.length === 0 ? <p className="quiet">Nothing is left to do here.</p> : null}
      {acts.map((act, index) => (
        <OneAct key={act} recovery={recovery} act={act} first={index === 0} />
      ))}
    </section>
  );
}

interface OneActProps {
  readonly recovery: Recovery;
  readonly act: RecoveryActName;
  readonly first: boolean;
}

function OneAct({ recovery, act, first }: OneActProps): ReactNode {
  const { title, button, tone, fields } = RECOVERY_FORMS[act];
  const form = useRef<HTMLFormElement>(null);
  const [mistyped, setMistyped] = useState<Trouble>();
  const [open, setOpen] = useState(first);
  const sent = useRecoveryAct(recovery, () => {
    form.current?.reset();
    setOpen(false);
  });
  const trouble = mistyped ?? sent.trouble;
  const submit = (data: FormData): void => {
    setMistyped(undefined);
    try {
      sent.run(act, bodyOf(data, recovery.currency));
    } catch (error) {
      if (!(error instanceof Trouble)) throw error;
      setMistyped(error);
    }
  };
  return (
    <details className="act" open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{title}</summary>
      <form
        ref={form}
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          submit(new FormData(event.currentTarget));
        }}
      >
        <TroubleNote trouble={trouble} />
        {fields({ recovery, trouble })}
        <button className={tone} disabled={sent.running}>
          {sent.running ? 'Sending…' : button}
        </button>
      </form>
    </details>
  );
}
