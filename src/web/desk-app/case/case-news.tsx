import type { ReactNode } from 'react';
import { sentenceCase } from '../../domain/trade-words.js';
import type { CaseData } from '../../case-data.js';
import { Time } from '../parts/parts.js';
import type { Seen } from './use-seen.js';

/** Says that somebody else has acted on the case while it was open here. */
export function News({ view, seen }: { readonly view: CaseData; readonly seen: Seen }): ReactNode {
  return (
    <div role="status" className="noprint">
      {seen.news.length === 0 ? null : (
        <div className="note warn news">
          <strong>The case has changed while you were at it.</strong>
          <ul>
            {seen.news.map(({ n, kind, actor, at }) => (
              <li key={n}>
                {sentenceCase(kind.replaceAll('-', ' '))} by {actor.kind === 'service' ? 'the service' : actor.name},{' '}
                <Time at={at} zone={view.visit.zone} />
              </li>
            ))}
          </ul>
          <p>The page shows it as it is now. What you typed is kept; nothing of yours was sent.</p>
          <button type="button" onClick={seen.look}>
            I have looked at it
          </button>
        </div>
      )}
    </div>
  );
}
