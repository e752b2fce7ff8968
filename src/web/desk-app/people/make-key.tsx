import { useEffect, useRef, useState, type ReactNode } from 'react';
import { KEY_SCOPES, RETAILER_KEY_SCOPES } from '../../../access/access.contract.js';
import { Trouble } from '../api/http.js';
import type { ProgramKey, Retailer, useKeeping } from '../api/people.js';
import { Field, TextLine, TroubleNote } from '../parts/fields.js';
import { Note } from '../parts/parts.js';
import { textIn } from './role-picks.js';
import { SCOPE_WORDS } from './scope-words.js';

interface MakeKeyProps {
  readonly retailers: readonly Retailer[];
  /** The key that the new one is to stand in for. */
  readonly inPlaceOf: ProgramKey | undefined;
  readonly making: ReturnType<typeof useKeeping>['making'];
  readonly trouble: Trouble | undefined;
}

/** Makes a key. One in place of another begins with what that one may do; the other goes on until it is ended. */
export function MakeKey({ retailers, inPlaceOf, making, trouble }: MakeKeyProps): ReactNode {
  const form = useRef<HTMLFormElement>(null);
  const [open, setOpen] = useState(inPlaceOf !== undefined);
  const [retailer, setRetailer] = useState(inPlaceOf?.retailer ?? '');
  const [mistyped, setMistyped] = useState<Trouble>();
  useEffect(() => {
    if (inPlaceOf !== undefined) form.current?.querySelector<HTMLElement>('input')?.focus();
  }, [inPlaceOf]);
  const shown = mistyped ?? trouble;
  const scopes = retailer === '' ? KEY_SCOPES : RETAILER_KEY_SCOPES;
  const submit = (typed: FormData): void => {
    const ticked = typed.getAll('scopes');
    const chosen = scopes.filter((scope) => ticked.includes(scope));
    setMistyped(chosen.length === 0 ? noScope() : undefined);
    if (chosen.length === 0) return;
    const endsOn = textIn(typed, 'endsOn');
    const wish = { name: textIn(typed, 'key-name'), scopes: chosen };
    making.mutate(
      { ...wish, ...(retailer === '' ? {} : { retailer }), ...(endsOn === '' ? {} : { expiresAt: endOf(endsOn) }) },
      {
        onSuccess: () => {
          form.current?.reset();
          setRetailer('');
          setOpen(false);
        },
      },
    );
  };
  return (
    <details open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{inPlaceOf === undefined ? 'Make a key' : `Make a key in place of “${inPlaceOf.name}”`}</summary>
      <form
        ref={form}
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          submit(new FormData(event.currentTarget));
        }}
      >
        {inPlaceOf === undefined ? null : (
          <Note tone="info">
            <p>The old key goes on until you end it, so that the program can be moved over in between.</p>
          </Note>
        )}
        <TroubleNote trouble={shown} />
        <div className="grid">
          <TextLine
            id="key-name"
            name="key-name"
            label="What it is for"
            value={inPlaceOf?.name ?? ''}
            required
            max={100}
            trouble={shown}
          />
          <Field id="key-retailer" name="retailer" label="Sees" trouble={shown}>
            <select id="key-retailer" value={retailer} onChange={(event) => setRetailer(event.currentTarget.value)}>
              <option value="">Everything of the house</option>
              {retailers.map(({ id, name }) => (
                <option key={id} value={id}>
                  Only what is {name}’s
                </option>
              ))}
            </select>
          </Field>
          <TextLine
            id="key-ends"
            name="endsOn"
            label="Works to the end of"
            hint="By your clock. Empty: until somebody ends it."
            type="date"
            trouble={shown}
          />
        </div>
        <fieldset>
          <legend>It may</legend>
          <div className="scopes">
            {scopes.map((scope) => (
              <label key={scope} className="pick">
                <input
                  type="checkbox"
                  name="scopes"
                  value={scope}
                  defaultChecked={inPlaceOf?.scopes.includes(scope) === true}
                />
                <span>
                  {SCOPE_WORDS[scope]}
                  <code className="sub">{scope}</code>
                </span>
              </label>
            ))}
          </div>
        </fieldset>
        <button className="go" disabled={making.isPending}>
          {making.isPending ? 'Sending…' : 'Make the key'}
        </button>
      </form>
    </details>
  );
}

function noScope(): Trouble {
  const detail = 'Tick at least one thing that the key may do.';
  return new Trouble(400, 'invalid-request', 'Something in the form needs another look.', detail, [
    { pointer: '#/scopes', detail },
  ]);
}

/** The end of a day by the clock of whoever chose it. */
function endOf(date: string): string {
  return Temporal.PlainDate.from(date)
    .add({ days: 1 })
    .toZonedDateTime(Temporal.Now.timeZoneId())
    .toInstant()
    .toString();
}
