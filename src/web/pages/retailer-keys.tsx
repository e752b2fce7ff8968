import type { VNode } from 'preact';
import { RETAILER_KEY_SCOPES, type KeyScope } from '../../access/access.contract.js';
import { text, texts, type Form, type Trouble } from '../form-fields.js';
import { Office, type Onlooker } from './layout.js';
import { Mark, Note, TextLine, Time, TroubleNote } from './parts.js';

/** A key without its secret. */
export interface OwnKey {
  readonly id: string;
  readonly name: string;
  readonly prefix: string;
  readonly scopes: readonly string[];
  readonly createdAt: string;
  readonly expiresAt: string | null;
  readonly endedAt: string | null;
  readonly lastUsedAt: string | null;
}

export interface RetailerKeysView {
  readonly onlooker: Onlooker;
  readonly keys: readonly OwnKey[];
  readonly now: string;
  /** What stands in the form: what was typed, or what the key has that is to be replaced. */
  readonly typed: Form;
  readonly formOpen: boolean;
  /** A key that was just made: its secret is shown this once. */
  readonly made?: { readonly name: string; readonly secret: string };
  /** The key in whose place another is made, or was. */
  readonly replaced?: OwnKey | undefined;
  readonly trouble?: Trouble | undefined;
}

const SCOPE_WORDS: Readonly<Record<KeyScope, string>> = {
  'catalogue:read': 'Read the items and their parts',
  'catalogue:write': 'Change the items',
  'visits:read': 'Read your deliveries',
  'visits:write': 'Plan deliveries',
  'claims:read': 'Read your claims',
  'claims:write': 'File claims, answer questions, ask for another look',
  'returns:read': 'Read your returns',
  'returns:write': 'Authorise returns',
  'insight:read': 'Read figures',
};

/** The keys of a retailer's own programs. */
export function RetailerKeys(view: RetailerKeysView): VNode {
  const { made, replaced } = view;
  return (
    <Office title="Your keys" onlooker={view.onlooker} at="/claims/keys">
      <div class="stack">
        <h1>Keys for your programs</h1>
        <p class="lead">
          With a key, a program of yours reads your claims and deliveries, files and answers. It sees what is yours and
          nothing else, and it never decides.
        </p>
        <TroubleNote trouble={view.trouble} />
        {made === undefined ? null : (
          <Note tone="ok" title={`The key “${made.name}” is made. It is shown only now.`}>
            <p class="secret" id="made">
              {made.secret}
            </p>
            <p>Copy it into the program’s settings, not into a message. Whoever holds it acts with its rights.</p>
            {replaced === undefined || !counts(replaced, view.now) ? null : (
              <div class="stack">
                <p>
                  “{replaced.name}” ({replaced.prefix}…) still works, so that nothing stops meanwhile. End it once the
                  program runs with the new one.
                </p>
                <EndForm of={replaced} says="End the old one" />
              </div>
            )}
          </Note>
        )}
        <section class="sheet stack" id="keys">
          <h2>Your keys</h2>
          {view.keys.length === 0 ? <p class="quiet">There is none yet. Make one below.</p> : <KeyTable {...view} />}
        </section>
        <section class="sheet stack" id="make">
          <h2>{view.made === undefined && replaced !== undefined ? `Replace “${replaced.name}”` : 'Make a key'}</h2>
          <MakeForm {...view} />
        </section>
        <p class="quiet">
          Calls to an address of yours when something happens: <a href="/claims/webhooks">what there is instead</a>.
        </p>
      </div>
    </Office>
  );
}

function counts({ endedAt, expiresAt }: OwnKey, now: string): boolean {
  return endedAt === null && (expiresAt === null || expiresAt > now);
}

function EndForm({ of, says }: { readonly of: OwnKey; readonly says: string }): VNode {
  return (
    <form method="post" action={`/claims/keys/${of.id}/end`}>
      <button class="linklike">
        {says} <span class="away">{of.name}</span>
      </button>
    </form>
  );
}

function KeyTable({ keys, now }: RetailerKeysView): VNode {
  return (
    <table class="cards">
      <caption class="away">Keys, the newest first</caption>
      <thead>
        <tr>
          <th scope="col">Key</th>
          <th scope="col">May</th>
          <th scope="col">Last used</th>
          <th scope="col">Ends</th>
          <th scope="col">State</th>
        </tr>
      </thead>
      <tbody>
        {keys.map((key) => (
          <tr>
            <th scope="row">
              {key.name}
              <span class="sub nums">{key.prefix}…</span>
            </th>
            <td data-label="May">{key.scopes.join(', ')}</td>
            <td data-label="Last used">{key.lastUsedAt === null ? 'Never' : <Time at={key.lastUsedAt} />}</td>
            <td data-label="Ends">{key.expiresAt === null ? 'When you end it' : <Time at={key.expiresAt} />}</td>
            <td>
              <KeyState of={key} now={now} />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function KeyState({ of, now }: { readonly of: OwnKey; readonly now: string }): VNode {
  if (of.endedAt !== null) return <Mark shape="cross" tone="plainly" says="Ended" />;
  if (!counts(of, now)) return <Mark shape="cross" tone="plainly" says="Expired" />;
  return (
    <div class="row">
      <a href={`/claims/keys?replace=${of.id}#make`}>
        Replace <span class="away">{of.name}</span>
      </a>
      <EndForm of={of} says="End" />
    </div>
  );
}

function MakeForm({ typed, trouble, formOpen, made, replaced }: RetailerKeysView): VNode {
  const replaces = made === undefined ? replaced : undefined;
  return (
    <details open={formOpen}>
      <summary>{replaces === undefined ? 'A new key' : 'A second key with the same rights'}</summary>
      <form method="post" action="/claims/keys" class="stack">
        {replaces === undefined ? null : (
          <>
            <p>Both keys work until you end the old one, so that your program can change over without a gap.</p>
            <input type="hidden" name="replaces" value={replaces.id} />
          </>
        )}
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
          <TextLine
            id="key-ends"
            name="endsOn"
            label="Last day it works (UTC)"
            hint="Empty: it works until somebody ends it"
            type="date"
            value={text(typed, 'endsOn')}
            trouble={trouble}
          />
        </div>
        <fieldset>
          <legend>It may</legend>
          {RETAILER_KEY_SCOPES.map((scope) => (
            <label class="pick">
              <input type="checkbox" name="scopes" value={scope} checked={texts(typed, 'scopes').includes(scope)} />
              <span>
                {SCOPE_WORDS[scope]} <code class="small">{scope}</code>
              </span>
            </label>
          ))}
        </fieldset>
        <button class="go">Make the key</button>
      </form>
    </details>
  );
}
