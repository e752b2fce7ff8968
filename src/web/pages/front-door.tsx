import type { VNode } from 'preact';
import type { Trouble } from '../form-fields.js';
import { Office, type Onlooker } from './layout.js';
import { Note, TextLine, TroubleNote } from './parts.js';

/** The front door: three ways in, each in a sentence. */
export function FrontDoor({
  onlooker,
  home,
}: {
  readonly onlooker?: Onlooker | undefined;
  readonly home?: string;
}): VNode {
  return (
    <Office title="Claims on motorised furniture" onlooker={onlooker}>
      <div class="stack">
        <div class="head">
          <div>
            <h1>What is broken, why, who answers for it</h1>
            <p class="lead quiet">
              From the open carton in a customer’s home to a decision to the cent, with every reason written down.
            </p>
          </div>
        </div>
        <div class="doors">
          <section class="sheet">
            <h2>Crew</h2>
            <p>
              You are at the door with a carton. Open the link that the office sent you; there is nothing to sign in to.
            </p>
            <p>
              <a class="button" href="/visit">
                I have a link
              </a>
            </p>
          </section>
          <section class="sheet">
            <h2>Desk</h2>
            <p>You look at the photos and the reasons, and decide. Policies, visits and people are here too.</p>
            <p>
              <a class="button go" href={home ?? '/sign-in'}>
                {home === undefined ? 'Sign in' : 'Go on'}
              </a>
            </p>
          </section>
          <section class="sheet">
            <h2>Retailer</h2>
            <p>You see where your own claims stand, what happens next and by when, and answer what is asked.</p>
            <p>
              <a class="button" href={home ?? '/sign-in'}>
                {home === undefined ? 'Sign in' : 'Go on'}
              </a>
            </p>
          </section>
        </div>
        <p class="small quiet">
          Programs talk to the service under <a href="/v1/openapi.json">/v1, described as OpenAPI 3.1</a>.
        </p>
      </div>
    </Office>
  );
}

export interface SignInView {
  readonly email: string;
  readonly next: string;
  readonly trouble?: Trouble | undefined;
  readonly changed?: boolean;
}

/** Signing in. */
export function SignIn({ email, next, trouble, changed = false }: SignInView): VNode {
  return (
    <Office title="Sign in" narrow>
      <div class="stack">
        <h1>Sign in</h1>
        <TroubleNote trouble={trouble} />
        {changed ? (
          <Note tone="ok" title="Your password is changed.">
            <p>All sessions have ended. Sign in with the new one.</p>
          </Note>
        ) : null}
        <form method="post" action="/sign-in" class="sheet stack">
          <input type="hidden" name="next" value={next} />
          <TextLine
            id="email"
            name="email"
            label="E-mail address"
            type="email"
            value={email}
            required
            autocomplete="username"
          />
          <TextLine
            id="password"
            name="password"
            label="Password"
            type="password"
            required
            autocomplete="current-password"
          />
          <button class="go">Sign in</button>
        </form>
        <p class="quiet">
          Crew do not sign in: open the link in your message, or <a href="/visit">paste it here</a>. No account, or no
          way in any more? Ask the administrator of your house.
        </p>
      </div>
    </Office>
  );
}

/** One's own account: who one is here, and the password. */
export function Account(props: {
  readonly onlooker: Onlooker;
  readonly roles: readonly string[];
  readonly trouble?: Trouble | undefined;
}): VNode {
  return (
    <Office title="Your account" onlooker={props.onlooker} narrow>
      <div class="stack">
        <h1>{props.onlooker.name}</h1>
        <p class="quiet">You are here as {props.roles.join(' and ')}.</p>
        <TroubleNote trouble={props.trouble} />
        <section class="sheet">
          <h2>Change your password</h2>
          <form method="post" action="/account/password" class="stack">
            <TextLine
              id="present"
              name="present"
              label="Present password"
              type="password"
              required
              autocomplete="current-password"
              trouble={props.trouble}
            />
            <TextLine
              id="next"
              name="next"
              label="New password"
              type="password"
              required
              autocomplete="new-password"
              hint="Long is better than complicated: four or five words that do not belong together."
              trouble={props.trouble}
            />
            <button class="go">Change it and sign out everywhere</button>
          </form>
        </section>
      </div>
    </Office>
  );
}

/** A page that only says something: what happened, and what to do. */
export function Message(props: {
  readonly title: string;
  readonly says: readonly string[];
  readonly onlooker?: Onlooker | undefined;
  readonly actions?: readonly { readonly address: string; readonly says: string }[];
}): VNode {
  return (
    <Office title={props.title} onlooker={props.onlooker} narrow>
      <div class="stack">
        <h1>{props.title}</h1>
        {props.says.map((sentence) => (
          <p class="lead">{sentence}</p>
        ))}
        <p class="row">
          {(props.actions ?? []).map(({ address, says }) => (
            <a class="button" href={address}>
              {says}
            </a>
          ))}
        </p>
      </div>
    </Office>
  );
}
