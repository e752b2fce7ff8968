import type { VNode } from 'preact';
import { KEY_SCOPES } from '../../access/access.contract.js';
import { ROLES } from '../../kernel/vocabulary.js';
import { sentenceCase } from '../domain/trade-words.js';
import { text, texts, type Form, type Trouble } from '../form-fields.js';
import { Office, type Onlooker } from './layout.js';
import { Choose, Mark, Note, TextLine, Time, TroubleNote } from './parts.js';

export interface PeopleView {
  readonly onlooker: Onlooker;
  readonly me: string;
  readonly people: readonly PersonLine[];
  readonly keys: readonly KeyLine[];
  readonly retailers: readonly { readonly id: string; readonly name: string }[];
  readonly now: string;
  /** A key that was just made: its secret is shown this once. */
  readonly made?: { readonly name: string; readonly secret: string };
  readonly next?: string | undefined;
  /** Which form was refused. */
  readonly tried?: 'person' | 'key' | 'change';
  readonly trouble?: Trouble | undefined;
  readonly typed?: Form | undefined;
}

interface PersonLine {
  readonly id: string;
  readonly name: string;
  readonly email: string;
  readonly roles: readonly string[];
  readonly retailerId: string | null;
  readonly disabledAt: string | null;
}

interface KeyLine {
  readonly id: string;
  readonly name: string;
  readonly prefix: string;
  readonly scopes: readonly string[];
  readonly retailerId: string | null;
  readonly expiresAt: string | null;
  readonly endedAt: string | null;
  readonly lastUsedAt: string | null;
}

/** The people of the house and the keys of its programs, for administrators. */
export function DeskPeople(view: PeopleView): VNode {
  return (
    <Office title="People and keys" onlooker={view.onlooker} at="/desk/people">
      <div class="stack">
        <h1>People and keys</h1>
        <TroubleNote trouble={view.trouble} />
        {view.made === undefined ? null : (
          <Note tone="ok" title={`The key “${view.made.name}” is made. It is shown only now.`}>
            <p class="secret" id="made">
              {view.made.secret}
            </p>
            <p>Give it to the program’s owner by a safe way. Whoever holds it acts with its rights.</p>
          </Note>
        )}
        <People view={view} />
        <Keys view={view} />
      </div>
    </Office>
  );
}

function retailerName(view: PeopleView, id: string | null): string {
  return id === null ? '' : (view.retailers.find((each) => each.id === id)?.name ?? 'a retailer');
}

function People({ view }: { readonly view: PeopleView }): VNode {
  const typed = view.tried === 'person' ? view.typed : undefined;
  const trouble = view.tried === 'person' ? view.trouble : undefined;
  return (
    <section class="sheet stack" id="people">
      <h2>People</h2>
      <table class="cards">
        <caption class="away">People</caption>
        <thead>
          <tr>
            <th scope="col">Name</th>
            <th scope="col">Role</th>
            <th scope="col">State</th>
            <th scope="col">
              <span class="away">Change</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {view.people.map((person) => (
            <tr>
              <th scope="row">
                {person.name}
                <span class="sub">{person.email}</span>
              </th>
              <td data-label="Role">
                {person.roles.join(', ')}
                {person.retailerId === null ? null : <span class="sub">{retailerName(view, person.retailerId)}</span>}
              </td>
              <td>
                {person.disabledAt === null ? (
                  <Mark shape="tick" tone="ok" says="Can sign in" />
                ) : (
                  <Mark shape="cross" tone="plainly" says="Shut out" />
                )}
              </td>
              <td>
                {person.id === view.me ? (
                  <span class="quiet">You</span>
                ) : (
                  <form
                    method="post"
                    action={`/desk/people/${person.id}/${person.disabledAt === null ? 'disable' : 'enable'}`}
                  >
                    <button class="linklike">
                      {person.disabledAt === null ? 'Shut out' : 'Let in'} <span class="away">{person.name}</span>
                    </button>
                  </form>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      {view.next === undefined ? null : (
        <a href={`/desk/people?cursor=${encodeURIComponent(view.next)}`}>More people</a>
      )}
      <details open={view.tried === 'person'}>
        <summary>Add a person</summary>
        <form method="post" action="/desk/people" class="stack">
          <div class="grid">
            <TextLine
              id="name"
              name="name"
              label="Name"
              value={text(typed, 'name')}
              required
              max={200}
              trouble={trouble}
            />
            <TextLine
              id="email"
              name="email"
              label="E-mail address"
              type="email"
              value={text(typed, 'email')}
              required
              max={320}
              trouble={trouble}
            />
            <TextLine
              id="password"
              name="password"
              label="First password"
              type="password"
              required
              autocomplete="new-password"
              trouble={trouble}
            />
            <Choose
              id="retailer"
              name="retailer"
              label="Works for a retailer"
              none="No, for the house"
              value={text(typed, 'retailer')}
              options={view.retailers.map(({ id, name }) => [id, name] as const)}
              trouble={trouble}
            />
          </div>
          <fieldset>
            <legend>Roles</legend>
            {ROLES.map((role) => (
              <label class="pick">
                <input type="checkbox" name="roles" value={role} checked={texts(typed, 'roles').includes(role)} />
                {sentenceCase(role)}
              </label>
            ))}
          </fieldset>
          <button class="go">Add the person</button>
        </form>
      </details>
    </section>
  );
}

function Keys({ view }: { readonly view: PeopleView }): VNode {
  const typed = view.tried === 'key' ? view.typed : undefined;
  const trouble = view.tried === 'key' ? view.trouble : undefined;
  return (
    <section class="sheet stack" id="keys">
      <h2>Keys for programs</h2>
      {view.keys.length === 0 ? <p class="quiet">No program has a key yet.</p> : null}
      {view.keys.length === 0 ? null : (
        <table class="cards">
          <caption class="away">Keys</caption>
          <thead>
            <tr>
              <th scope="col">Key</th>
              <th scope="col">May</th>
              <th scope="col">Last used</th>
              <th scope="col">State</th>
            </tr>
          </thead>
          <tbody>
            {view.keys.map((key) => (
              <tr>
                <th scope="row">
                  {key.name}
                  <span class="sub nums">{key.prefix}…</span>
                </th>
                <td data-label="May">
                  {key.scopes.join(', ')}
                  {key.retailerId === null ? null : (
                    <span class="sub">only for {retailerName(view, key.retailerId)}</span>
                  )}
                </td>
                <td data-label="Last used">{key.lastUsedAt === null ? 'Never' : <Time at={key.lastUsedAt} />}</td>
                <td>
                  {key.endedAt !== null ? (
                    <Mark shape="cross" tone="plainly" says="Ended" />
                  ) : key.expiresAt !== null && key.expiresAt <= view.now ? (
                    <Mark shape="cross" tone="plainly" says="Expired" />
                  ) : (
                    <form method="post" action={`/desk/keys/${key.id}/end`}>
                      <button class="linklike">
                        End <span class="away">{key.name}</span>
                      </button>
                    </form>
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      <details open={view.tried === 'key'}>
        <summary>Make a key</summary>
        <form method="post" action="/desk/keys" class="stack">
          <div class="grid">
            <TextLine
              id="key-name"
              name="name"
              label="What it is for"
              value={text(typed, 'name')}
              required
              max={200}
              trouble={trouble}
            />
            <Choose
              id="key-retailer"
              name="retailer"
              label="Sees"
              none="Everything of the house"
              value={text(typed, 'retailer')}
              options={view.retailers.map(({ id, name }) => [id, `only what is ${name}’s`] as const)}
              trouble={trouble}
            />
            <TextLine
              id="key-ends"
              name="endsOn"
              label="Ends on"
              hint="Empty: it lasts until somebody ends it"
              type="date"
              value={text(typed, 'endsOn')}
              trouble={trouble}
            />
          </div>
          <fieldset>
            <legend>It may</legend>
            {KEY_SCOPES.map((scope) => (
              <label class="pick">
                <input type="checkbox" name="scopes" value={scope} checked={texts(typed, 'scopes').includes(scope)} />
                <code>{scope}</code>
              </label>
            ))}
          </fieldset>
          <button class="go">Make the key</button>
        </form>
      </details>
    </section>
  );
}
