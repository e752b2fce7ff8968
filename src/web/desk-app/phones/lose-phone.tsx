import { useState, type ReactNode } from 'react';
import { heldWords } from '../../domain/nudge-words.js';
import { useLosing, type PhoneLine } from '../api/phones.js';
import { TextBox, TroubleNote } from '../parts/fields.js';

/** Says that a phone will not be heard again. */
export function LosePhone({ phone }: { readonly phone: PhoneLine }): ReactNode {
  const [open, setOpen] = useState(false);
  const { lose, running, trouble } = useLosing(phone, () => setOpen(false));
  const id = `lost-${phone.phone}-${phone.visit}`;
  return (
    <details open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>It is lost</summary>
      <form
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          const reason = new FormData(event.currentTarget).get('reason');
          lose(typeof reason === 'string' ? reason.trim() : '');
        }}
      >
        <p>
          Nothing waits for it any more. The claims of the visit say that {heldWords(phone)} were lost with the phone.
          What it sent before counts. Should it be heard after all, everything that it brings is taken.
        </p>
        <TroubleNote trouble={trouble} />
        <TextBox
          id={id}
          name="reason"
          label="How it was lost, and who said so"
          hint="It stands in the trail for good. At least ten characters."
          required
          trouble={trouble}
        />
        <button className="no" disabled={running}>
          {running ? 'Sending…' : 'The phone is lost'}
        </button>
      </form>
    </details>
  );
}
