import type { ComponentChildren, VNode } from 'preact';
import { assetAddress, type AssetName } from '../page-assets.js';

/** Who looks at a page, as far as its frame is concerned. */
export interface Onlooker {
  readonly name: string;
  readonly doors: readonly Door[];
}

/** A place that the onlooker may go to. */
export interface Door {
  readonly address: string;
  readonly says: string;
}

interface ShellProps {
  readonly title: string;
  readonly lang?: 'en' | 'es';
  readonly sheets?: readonly AssetName[];
  readonly scripts?: readonly AssetName[];
  readonly children: ComponentChildren;
}

/** The document around every page. */
export function Shell({ title, lang = 'en', sheets = [], scripts = [], children }: ShellProps): VNode {
  return (
    <html lang={lang}>
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta name="color-scheme" content="light dark" />
        <title>{`${title} · As Noted`}</title>
        <link rel="icon" href={assetAddress('mark.svg')} type="image/svg+xml" />
        {(['tokens.css', 'base.css', 'fields.css', 'office.css', 'media.css', ...sheets] as const).map((name) => (
          <link rel="stylesheet" href={assetAddress(name)} />
        ))}
        {scripts.map((name) => (
          <script type="module" src={assetAddress(name)} />
        ))}
      </head>
      {children}
    </html>
  );
}

/** The name at the head of every page, which leads home. */
export function Name({ href = '/' }: { readonly href?: string }): VNode {
  return (
    <a class="name" href={href}>
      <svg viewBox="0 0 24 24" aria-hidden="true">
        <path d="M1 1h22v22H1z" fill="none" stroke="currentColor" stroke-width="2" />
        <path d="M5 8h14M5 12.5h8M5 17h5" fill="none" stroke="currentColor" stroke-width="2" />
        <path d="M13.5 16.5l2.4 2.6 4-5.4" fill="none" stroke="currentColor" stroke-width="2" />
      </svg>
      As Noted
    </a>
  );
}

interface OfficeProps {
  readonly title: string;
  readonly onlooker?: Onlooker | undefined;
  /** Address of the door that the page lies behind. */
  readonly at?: string;
  readonly narrow?: boolean;
  readonly children: ComponentChildren;
}

/** A page of the front door, the desk or the retailer. */
export function Office({ title, onlooker, at, narrow, children }: OfficeProps): VNode {
  return (
    <Shell title={title}>
      <body>
        <a class="skip" href="#main">
          Skip to the page
        </a>
        <header class="bar">
          <div>
            <Name />
            {onlooker === undefined ? null : <Doors onlooker={onlooker} at={at} />}
          </div>
        </header>
        <main id="main" class={narrow === true ? 'narrow' : undefined}>
          {children}
        </main>
        <footer class="foot">
          <p>As Noted keeps what was seen, who said so and when. It advises; people decide.</p>
        </footer>
      </body>
    </Shell>
  );
}

function Doors({ onlooker, at }: { readonly onlooker: Onlooker; readonly at: string | undefined }): VNode {
  return (
    <>
      <nav aria-label="Main">
        <ul class="plain">
          {onlooker.doors.map(({ address, says }) => (
            <li>
              <a href={address} aria-current={address === at ? 'page' : undefined}>
                {says}
              </a>
            </li>
          ))}
        </ul>
      </nav>
      <form class="who" method="post" action="/sign-out">
        <a href="/account">{onlooker.name}</a>
        <button class="linklike">Sign out</button>
      </form>
    </>
  );
}
