import { useEffect, useState } from 'react';
import type { ClaimEvent } from '../../../claims/claims.contract.js';
import type { CaseData } from '../../case-data.js';

/** What the person at the page has seen of the case. */
export interface Seen {
  /** The version that acts are based on: the one that was last looked at, not one that came in meanwhile. */
  readonly version: number;
  /** What others did since. */
  readonly news: readonly ClaimEvent[];
  /** The person has looked at what is new. */
  readonly look: () => void;
}

/** Tells what others did to a case while somebody worked on it; one's own acts are no news. */
export function useSeen(view: CaseData): Seen {
  const newest = view.events.at(-1)?.n ?? 0;
  const [seen, setSeen] = useState({ version: view.claim.version, n: newest });
  const since = view.events.filter(({ n }) => n > seen.n);
  const news = since.filter(({ actor }) => actor.id !== view.me);
  const look = (): void => setSeen({ version: view.claim.version, n: newest });
  const onlyOwn = news.length === 0 && (since.length > 0 || seen.version !== view.claim.version);
  useEffect(() => {
    if (onlyOwn) setSeen({ version: view.claim.version, n: newest });
  }, [onlyOwn, view.claim.version, newest]);
  return { version: onlyOwn ? view.claim.version : seen.version, news, look };
}
