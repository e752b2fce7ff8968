import { useEffect, useState } from 'react';
import type { ClaimEvent } from '../../../claims/claims.contract.js';
import type { CaseData } from '../../case-data.js';

/** What the person at the page has seen of the case. */
export interface Seen {
  /** The version that acts are based on: while something is typed, the one at which that began or which was looked at since. */
  readonly version: number;
  /** What others did since. */
  readonly news: readonly ClaimEvent[];
  /** The person has looked at what is new. */
  readonly look: () => void;
  /** Something was typed, or nothing is typed any more. */
  readonly typed: (is: boolean) => void;
}

/** Tells what others did to a case while somebody worked on it; one's own acts are no news. */
export function useSeen(view: CaseData): Seen {
  const { version } = view.claim;
  const newest = view.events.at(-1)?.n ?? 0;
  const [seen, setSeen] = useState(newest);
  /** The version on which what is typed rests; undefined while nothing is. */
  const [base, setBase] = useState<number>();
  const since = view.events.filter(({ n }) => n > seen);
  const news = since.filter(({ actor }) => actor.id !== view.me);
  const onlyOwn = news.length === 0 && since.length > 0;
  useEffect(() => {
    if (!onlyOwn) return;
    setSeen(newest);
    setBase((was) => (was === undefined ? was : version));
  }, [onlyOwn, newest, version]);
  return {
    version: base === undefined || onlyOwn ? version : base,
    news,
    look: () => {
      setSeen(newest);
      setBase((was) => (was === undefined ? was : version));
    },
    typed: (is) => setBase((was) => (is ? (was ?? version) : undefined)),
  };
}
