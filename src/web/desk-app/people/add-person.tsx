import { useRef, useState, type ReactNode } from 'react';
import { ROLES } from '../../../kernel/vocabulary.js';
import { useAddPerson, type Person, type Retailer } from '../api/people.js';
import { Field, TextLine, TroubleNote } from '../parts/fields.js';
import { RolePicks, rolesIn, textIn } from './role-picks.js';

const OF_THE_HOUSE = ROLES.filter((role) => role !== 'retailer');

interface AddPersonProps {
  readonly retailers: readonly Retailer[];
  readonly onAdded: (person: Person) => void;
}

/** Adds somebody with a first password. A retailer's person belongs to that retailer and has no other role. */
export function AddPerson({ retailers, onAdded }: AddPersonProps): ReactNode {
  const form = useRef<HTMLFormElement>(null);
  const [open, setOpen] = useState(false);
  const [retailer, setRetailer] = useState('');
  const { add, running, trouble } = useAddPerson((person) => {
    form.current?.reset();
    setRetailer('');
    setOpen(false);
    onAdded(person);
  });
  const submit = (typed: FormData): void => {
    const password = typed.get('password');
    add({
      name: textIn(typed, 'name'),
      email: textIn(typed, 'email'),
      password: typeof password === 'string' ? password : '',
      roles: retailer === '' ? rolesIn(typed) : ['retailer'],
      ...(retailer === '' ? {} : { retailer }),
    });
  };
  return (
    <details open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>Add a person</summary>
      <form
        ref={form}
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          submit(new FormData(event.currentTarget));
        }}
      >
        <TroubleNote trouble={trouble} />
        <div className="grid">
          <TextLine id="name" name="name" label="Name" required max={200} trouble={trouble} />
          <TextLine id="email" name="email" label="E-mail address" type="email" required max={254} trouble={trouble} />
          <TextLine
            id="password"
            name="password"
            label="First password"
            hint="15 characters or more: a few words with blanks between them. Tell it by a safe way; they change it under Account."
            type="password"
            required
            max={256}
            trouble={trouble}
          />
          <Field id="retailer" name="retailer" label="Works for" trouble={trouble}>
            <select id="retailer" value={retailer} onChange={(event) => setRetailer(event.currentTarget.value)}>
              <option value="">The house</option>
              {retailers.map(({ id, name }) => (
                <option key={id} value={id}>
                  {name}, a retailer
                </option>
              ))}
            </select>
          </Field>
        </div>
        {retailer === '' ? (
          <RolePicks
            chosen={[]}
            among={OF_THE_HOUSE}
            wrong={trouble?.faults.find(({ pointer }) => pointer === '#/roles')?.detail}
          />
        ) : (
          <p className="quiet">They see the claims of that retailer and nothing else; no other role goes with it.</p>
        )}
        <button className="go" disabled={running}>
          {running ? 'Sending…' : 'Add the person'}
        </button>
      </form>
    </details>
  );
}
