import type { VNode } from 'preact';
import type { Claim } from '../case-data.js';
import type { LetterContent } from '../domain/letter.js';
import { Office, type Onlooker } from './layout.js';
import { Facts, Note } from './parts.js';

export interface RetailerLetterView {
  readonly onlooker: Onlooker;
  readonly claim: Claim;
  /** Number of the decision. */
  readonly n: number;
  readonly content: LetterContent;
}

/** One decision as a letter, on a page; the same as a file to keep. */
export function RetailerLetter({ onlooker, claim, n, content }: RetailerLetterView): VNode {
  const { lang } = content;
  const here = `/claims/${claim.id}/letters/${n}`;
  return (
    <Office title={content.title} onlooker={onlooker} at="/claims" narrow>
      <div class="stack">
        <p class="noprint">
          <a href={`/claims/${claim.id}`}>Back to the claim</a>
        </p>
        <p class="row noprint">
          <a class="button" href={`${here}/pdf?lang=${lang}`}>
            This letter as a PDF
          </a>
          {lang === 'en' ? (
            <a href={`${here}?lang=es`} lang="es" hreflang="es">
              En español
            </a>
          ) : (
            <a href={here} hreflang="en">
              In English
            </a>
          )}
        </p>
        <article class="sheet stack letter" lang={lang}>
          <p>{content.date}</p>
          <p class="lines">{content.to.join('\n')}</p>
          <h1>{content.title}</h1>
          <Facts of={content.facts.map(({ label, value }) => [label, value] as const)} />
          <h2>{content.outcome}</h2>
          {content.gives.map((line) => (
            <p>{line}</p>
          ))}
          {content.words === undefined ? null : (
            <>
              <h2>{content.words.heading}</h2>
              <p class="lines" lang={content.words.lang}>
                {content.words.text}
              </p>
            </>
          )}
          {content.replaced === undefined ? null : (
            <Note tone="warn" title={content.replaced.title}>
              <p>{content.replaced.says}</p>
            </Note>
          )}
          {content.next.length === 0 ? null : <h2>{content.nextHeading}</h2>}
          {content.next.map((line) => (
            <p>{line}</p>
          ))}
          <p class="lines">{content.from.join('\n')}</p>
          <p class="small quiet">{content.caution}</p>
        </article>
      </div>
    </Office>
  );
}
