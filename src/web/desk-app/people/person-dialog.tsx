import { useRef, type ReactNode } from 'react';
import { ROLES } from '../../../kernel/vocabulary.js';
import { usePersonAct, type Person, type PersonAct } from '../api/people.js';
import { Dialog } from '../parts/dialog.js';
import { TextLine, TroubleNote } from '../parts/fields.js';
import { Facts, Time } from '../parts/parts.js';
import { RolePicks, rolesIn, textIn } from './role-picks.js';

interface PersonDialogProps {
  readonly person: Person;
  /** The retailer that they work for. */
  readonly company: string | undefined;
  readonly isMe: boolean;
  readonly onClose: () => void;
  /** Says what was done. */
  readonly onDone: (says: string) => void;
}

/** Everything that may be done to one person: name and roles, a new password, shutting out and letting in. */
export function PersonDialog({ person, company, isMe, onClose, onDone }: PersonDialogProps): ReactNode {
  const passwordForm = useRef<HTMLFormElement>(null);
  const { run, running, tried, trouble } = usePersonAct(person.id, (act) => {
    onDone(doneWords(person.name, act));
    passwordForm.current?.reset();
    onClose();
  });
  const about = (act: PersonAct['is']) => (tried === act ? trouble : undefined);
  const staff = ROLES.filter((role) => role !== 'retailer');
  return (
    <Dialog opened onClose={onClose} title={person.name}>
      <div className="stack">
        <Facts
          of={[
            ['E-mail address', person.email],
            ['Works for', company ?? 'The house'],
            ['Added', <Time key="added" at={person.createdAt} />],
            ['Shut out', person.disabledAt === undefined ? undefined : <Time key="out" at={person.disabledAt} />],
          ]}
        />
        <form
          className="stack"
          onSubmit={(event) => {
            event.preventDefault();
            const typed = new FormData(event.currentTarget);
            const roles = person.retailer === undefined ? rolesIn(typed) : person.roles;
            run({ is: 'change', name: textIn(typed, 'name'), roles });
          }}
        >
          <h3>Name and roles</h3>
          <TroubleNote trouble={about('change')} />
          <TextLine id="person-name" name="name" label="Name" value={person.name} required max={200} />
          {person.retailer === undefined ? (
            <RolePicks
              chosen={person.roles}
              among={staff}
              wrong={about('change')?.faults.find(({ pointer }) => pointer === '#/roles')?.detail}
            />
          ) : (
            <p className="quiet">Their one role is that of the retailer.</p>
          )}
          {isMe ? <p className="quiet">You stay an administrator: nobody takes their own way in.</p> : null}
          <button className="go" disabled={running}>
            Save name and roles
          </button>
        </form>
        {isMe ? (
          <p>
            Your own password is changed under <a href="/account">Account</a>, with the present one.
          </p>
        ) : (
          <>
            <form
              ref={passwordForm}
              className="stack"
              onSubmit={(event) => {
                event.preventDefault();
                const value = new FormData(event.currentTarget).get('password');
                run({ is: 'password', password: typeof value === 'string' ? value : '' });
              }}
            >
              <h3>Password forgotten</h3>
              <TroubleNote trouble={about('password')} />
              <TextLine
                id="person-password"
                name="password"
                label="A new first password"
                hint="15 characters or more. All their sessions end; they change it under Account."
                type="password"
                required
                max={256}
                trouble={about('password')}
              />
              <button disabled={running}>Give the new password</button>
            </form>
            <div className="stack">
              <h3>{person.disabledAt === undefined ? 'Shut out' : 'Let in again'}</h3>
              <TroubleNote trouble={about(person.disabledAt === undefined ? 'shut out' : 'let in')} />
              <p>
                {person.disabledAt === undefined
                  ? 'Their sessions end at once and they cannot sign in. What they did stays in the trail under their name.'
                  : 'They can sign in again with the password that they had.'}
              </p>
              <button
                type="button"
                className={person.disabledAt === undefined ? 'no' : 'go'}
                disabled={running}
                onClick={() => run({ is: person.disabledAt === undefined ? 'shut out' : 'let in' })}
              >
                {person.disabledAt === undefined ? `Shut ${person.name} out` : `Let ${person.name} in`}
              </button>
            </div>
          </>
        )}
      </div>
    </Dialog>
  );
}

function doneWords(name: string, act: PersonAct): string {
  switch (act.is) {
    case 'change':
      return `${act.name} is changed: ${act.roles.join(', ')}.`;
    case 'password':
      return `${name} has a new password; all their sessions have ended.`;
    case 'shut out':
      return `${name} is shut out.`;
    case 'let in':
      return `${name} can sign in again.`;
  }
}
