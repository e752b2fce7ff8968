import type { ReactNode } from 'react';
import type { ModelComparison, ModelReport, Share } from '../../../diagnosis/learning.contract.js';
import { count } from '../../domain/time-words.js';
import { showInterval } from './report-words.js';

/** Two versions on exactly the same cases. */
export function ComparisonSheet({ comparison }: { readonly comparison: ModelComparison }): ReactNode {
  const { champion, challenger, cases, bothRight, onlyChampionRight, onlyChallengerRight, bothWrong, mcnemarP } =
    comparison;
  const [here, there] = [numberOf(champion), numberOf(challenger)];
  if (cases === 0)
    return (
      <section className="sheet stack">
        <h2>
          Version {here} beside version {there}
        </h2>
        <p className="quiet">
          There is no decided claim that both can be scored on. Choose other dates, or decide claims first.
        </p>
      </section>
    );
  return (
    <section className="sheet stack">
      <h2>
        Version {here} beside version {there}
      </h2>
      <p>{verdict(here, there, onlyChampionRight, onlyChallengerRight, mcnemarP)}</p>
      <div className="scroll" tabIndex={0} role="region" aria-label="Right and wrong of both versions">
        <table>
          <caption>
            The same {count(cases, 'case')} for both. Right is: the leading explanation is the one that was settled.
          </caption>
          <thead>
            <tr>
              <td />
              <th scope="col" className="amount">
                Version {there} right
              </th>
              <th scope="col" className="amount">
                Version {there} wrong
              </th>
              <th scope="col">In all</th>
            </tr>
          </thead>
          <tbody>
            <tr>
              <th scope="row">Version {here} right</th>
              <td className="amount">{bothRight}</td>
              <td className="amount">{onlyChampionRight}</td>
              <td>{accuracy(champion.all.accuracy)}</td>
            </tr>
            <tr>
              <th scope="row">Version {here} wrong</th>
              <td className="amount">{onlyChallengerRight}</td>
              <td className="amount">{bothWrong}</td>
              <td />
            </tr>
            <tr className="total">
              <th scope="row">In all</th>
              <td colSpan={2}>
                Version {there}: {accuracy(challenger.all.accuracy)}
              </td>
              <td />
            </tr>
          </tbody>
        </table>
      </div>
    </section>
  );
}

function numberOf({ models }: ModelReport): number {
  return models[0]?.version ?? 0;
}

function accuracy(share: Share | null): string {
  return share === null ? '–' : showInterval(share);
}

/** The usual limit of 5 % is common practice; the exact McNemar test (1947) gives the figure. */
function verdict(here: number, there: number, onlyHere: number, onlyThere: number, p: number): string {
  const differ = onlyHere + onlyThere;
  if (differ === 0) return 'Both are right and wrong on the same cases.';
  const better = onlyHere > onlyThere ? here : there;
  const chance = p < 0.001 ? 'less than 0.1 %' : `${(p * 100).toFixed(1)} %`;
  const first = `They differ on ${count(differ, 'case')}, and version ${better} is right on ${Math.max(onlyHere, onlyThere)} of them.`;
  if (onlyHere === onlyThere) return `They differ on ${count(differ, 'case')}, half of them each way.`;
  return p < 0.05
    ? `${first} Chance alone would do that in ${chance} of times (exact McNemar test): version ${better} meets these claims better.`
    : `${first} Chance alone would do that in ${chance} of times (exact McNemar test): too often to say that one is better.`;
}
