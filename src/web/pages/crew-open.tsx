import type { VNode } from 'preact';
import type { Trouble } from '../form-fields.js';
import { Name, Shell } from './layout.js';
import { TextLine, TroubleNote } from './parts.js';

/** Where a visit link leads: a script puts the secret into the form and sends it; without one, people paste the link. */
export function CrewOpen({ trouble }: { readonly trouble?: Trouble | undefined }): VNode {
  return (
    <Shell title="Open your visit" sheets={['crew.css']} scripts={['open-link.js']}>
      <body>
        <a class="skip" href="#main">
          Skip to the page
        </a>
        <header class="bar">
          <div>
            <Name />
          </div>
        </header>
        <main id="main" class="stack">
          <h1>Open your visit</h1>
          <TroubleNote trouble={trouble} />
          <p id="opening" role="status" hidden>
            Opening your visit …
          </p>
          <form id="open" method="post" action="/visit" class="stack">
            <TextLine
              id="link"
              name="link"
              label="Link or code from the office"
              hint="Press long on the link in the message, copy it whole, and paste it here."
              required
              max={400}
              trouble={trouble}
            />
            <button class="go big-go">Open the visit</button>
          </form>
          <p class="quiet">
            <span lang="es">Pegue aquí el enlace que le mandó la oficina.</span>
          </p>
          <p class="quiet">
            A link works for one visit and for a few days. If it has expired, call the office: a new one takes them a
            minute, and nothing that you have sent is lost.
          </p>
        </main>
      </body>
    </Shell>
  );
}
