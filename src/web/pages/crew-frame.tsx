import type { ComponentChildren, VNode } from 'preact';
import { crewWord, type Lang } from '../domain/crew-words.js';
import type { AssetName } from '../page-assets.js';
import { Name, Shell } from './layout.js';

export interface CrewFrameProps {
  readonly title: string;
  readonly lang: Lang;
  /** Address of the page, for coming back in the other language. */
  readonly here: string;
  readonly scripts?: readonly AssetName[];
  readonly stop?: boolean;
  readonly children: ComponentChildren;
}

/** A page for the phone in the home. */
export function CrewFrame({ title, lang, here, scripts = [], stop = false, children }: CrewFrameProps): VNode {
  const other = lang === 'en' ? 'es' : 'en';
  return (
    <Shell title={title} lang={lang} sheets={['crew.css']} scripts={scripts}>
      <body class={stop ? 'stop-page' : undefined}>
        <a class="skip" href="#main">
          {crewWord(lang, 'skip')}
        </a>
        <header class="bar">
          <div>
            <Name href="/crew" />
            <a
              class="lang"
              lang={other}
              hreflang={other}
              href={`/crew/language?${new URLSearchParams({ to: other, back: here }).toString()}`}
            >
              {crewWord(lang, 'otherLanguage')}
            </a>
          </div>
        </header>
        <main id="main">
          <div
            id="line"
            role="status"
            data-offline={crewWord(lang, 'offline')}
            data-again={crewWord(lang, 'sendAgain')}
            data-kept-one={crewWord(lang, 'keptOne')}
            data-kept-many={crewWord(lang, 'keptMany')}
          />
          {children}
        </main>
      </body>
    </Shell>
  );
}
