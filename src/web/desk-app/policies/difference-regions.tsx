import type { ReactNode } from 'react';
import type { PolicyChange, RegionPart } from '../../../policies/analysis.contract.js';
import { daysInWords } from '../../domain/policy-marks.js';
import { count, showDate } from '../../domain/time-words.js';
import { sentenceCase } from '../../domain/trade-words.js';

/**
 * Kinds of case that come out otherwise, each with an example, how many past claims are like it, and where exactly it lies. Where some of them
 * have claims, those without stand apart.
 */
export function Regions({ changes }: { readonly changes: readonly PolicyChange[] }): ReactNode {
  const met = changes.filter(({ recentClaims = 0 }) => recentClaims > 0);
  const others = changes.filter(({ recentClaims = 0 }) => recentClaims === 0);
  if (met.length === 0) return <List changes={others} />;
  return (
    <>
      <List changes={met} />
      {others.length === 0 ? null : (
        <details>
          <summary>{count(others.length, 'kind', 'kinds')} that no claim of the last year is like</summary>
          <List changes={others} />
        </details>
      )}
    </>
  );
}

function List({ changes }: { readonly changes: readonly PolicyChange[] }): ReactNode {
  if (changes.length === 0) return null;
  return (
    <ol className="plain kinds-of-case">
      {changes.map((change) => (
        <Region key={`${change.decision} ${change.detail} ${change.period?.from ?? ''}`} change={change} />
      ))}
    </ol>
  );
}

function Region({ change }: { readonly change: PolicyChange }): ReactNode {
  const { decision, was, becomes, period, region, example, recentClaims } = change;
  return (
    <li>
      <h3>{sentenceCase(decision)}</h3>
      <div className="was-now">
        <p className="was">
          <span className="quiet">was</span> {was.words}
        </p>
        <p className="becomes">
          <span className="quiet">becomes</span> <strong>{becomes.words}</strong>
        </p>
      </div>
      {example === undefined ? null : <p>Example: {example.words}.</p>}
      {period === undefined ? null : <p>{periodWords(period)}</p>}
      {recentClaims === undefined ? null : <p className="quiet">{likeThat(recentClaims)}</p>}
      <details>
        <summary>When exactly</summary>
        <ul className="plain">
          {region.map((part, n) => (
            <li key={JSON.stringify(part)}>
              {n === 0 ? null : <p className="quiet">or</p>}
              <Part part={part} />
            </li>
          ))}
        </ul>
      </details>
    </li>
  );
}

function likeThat(claims: number): string {
  if (claims === 0) return 'No claim of the last year is like that.';
  return `${count(claims, 'claim')} of the last year ${claims === 1 ? 'is' : 'are'} like that.`;
}

function periodWords({ from, before }: NonNullable<PolicyChange['period']>): string {
  if (from !== undefined) return `Only ${daysInWords(from, before, showDate)}.`;
  return before === undefined ? '' : `Only before ${showDate(before)}.`;
}

/** One part of the table, as the cells that hold in it. */
function Part({ part }: { readonly part: RegionPart }): ReactNode {
  const cells = Object.entries(part);
  if (cells.length === 0) return <p>always</p>;
  return (
    <ul className="plain cell-set">
      {cells.map(([column, cell]) => (
        <li key={column}>
          {column} <code>{cell}</code>
        </li>
      ))}
    </ul>
  );
}
