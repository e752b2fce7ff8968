import type { ReactNode } from 'react';
import type { PolicyChange } from '../../../policies/analysis.contract.js';
import { count } from '../../domain/time-words.js';
import { sentenceCase } from '../../domain/trade-words.js';

/** Kinds of case that come out otherwise, each with an example and how many past claims are like it. */
export function Regions({ changes }: { readonly changes: readonly PolicyChange[] }): ReactNode {
  if (changes.length === 0) return null;
  return (
    <ul className="plain rows regions">
      {changes.map((change) => (
        <li key={`${change.decision} ${change.detail} ${change.period?.from ?? ''}`}>
          <p>
            <strong>{sentenceCase(change.decision)}</strong> {change.detail}
          </p>
          <p className="quiet">
            {change.example === undefined ? '' : `Example: ${change.example.words}. `}
            {change.recentClaims === undefined
              ? ''
              : change.recentClaims === 0
                ? 'No claim of the last year is like that.'
                : `${count(change.recentClaims, 'claim')} of the last year ${change.recentClaims === 1 ? 'is' : 'are'} like that.`}
          </p>
        </li>
      ))}
    </ul>
  );
}
