import type { VNode } from 'preact';
import { showDay } from '../domain/time-words.js';
import { Time } from './parts.js';
import type { RetailerClaimView } from './retailer-claim.js';

interface Props {
  readonly view: RetailerClaimView;
}

/** What happened so far, the latest first. */
export function SoFar({ view }: Props): VNode {
  return (
    <section class="sheet">
      <h2>So far</h2>
      <ol class="plain trail">
        {view.timeline.toReversed().map(({ at, says }) => (
          <li>
            <Time at={at} zone={view.zone} />
            {says}
          </li>
        ))}
      </ol>
    </section>
  );
}

/** Every decision as a letter, on a page and as a file, in both languages. */
export function Letters({ view: { letters, claim, zone } }: Props): VNode | null {
  if (letters.length === 0) return null;
  return (
    <section class="sheet stack" id="letters">
      <h2>Letters</h2>
      <ul class="plain stack">
        {letters.toReversed().map(({ n, outcome, at, replaced }) => {
          const day = showDay(at, zone);
          const here = `/claims/${claim.id}/letters/${n}`;
          return (
            <li>
              <a href={here}>
                Decision of {day}: {outcome}
              </a>
              {replaced ? ' (replaced by a later one)' : ''}
              <span class="sub">
                <a href={`${here}/pdf`}>
                  PDF in English <span class="away">, decision of {day}</span>
                </a>{' '}
                ·{' '}
                <a href={`${here}/pdf?lang=es`} lang="es" hreflang="es">
                  PDF en español <span class="away">, decisión {n}</span>
                </a>
              </span>
            </li>
          );
        })}
      </ul>
    </section>
  );
}

/** Questions that were answered. */
export function Answered({ view }: Props): VNode | null {
  const answered = view.questions.filter(({ answer }) => answer !== null);
  if (answered.length === 0) return null;
  return (
    <section class="sheet stack">
      <h2>Asked and answered</h2>
      {answered.map(({ asked, answer }) => (
        <div>
          <p>
            <strong>{asked}</strong>
          </p>
          <p>{answer}</p>
        </div>
      ))}
    </section>
  );
}

/** The photos that the retailer may see have a page of their own, so that this one opens on any phone and line. */
export function PhotosSeen({ view: { photos, claim } }: Props): VNode | null {
  if (photos.length === 0) return null;
  return (
    <section class="sheet" id="photos">
      <h2>Photos</h2>
      <p>
        <a href={`/claims/${claim.id}/photos`}>
          {photos.length === 1 ? 'Look at the photo' : `Look at the ${photos.length} photos`}
        </a>
      </p>
    </section>
  );
}
