import type { ReactNode } from 'react';
import type { Responsibility } from '../../../adjudication/adjudication.contract.js';
import type { CaseData } from '../../case-data.js';
import { showMoney } from '../../domain/money-words.js';
import { PARTY_WORDS, showShare } from '../../domain/trade-words.js';

/** Who answers for it, in which shares and why. */
export function Shares({ view }: { readonly view: CaseData }): ReactNode {
  const assessment = view.assessment;
  if (assessment === undefined || assessment.responsibility.length === 0) return null;
  const titles = new Map(assessment.findings.map(({ subject, title }) => [subject, title.en]));
  return (
    <section className="sheet" id="shares">
      <h2>Who answers for it</h2>
      {assessment.responsibility.map((part) => (
        <SharesPart
          key={part.about}
          part={part}
          title={titles.get(part.about) ?? 'The claim'}
          currency={assessment.remedy.currency}
        />
      ))}
    </section>
  );
}

const MODES: Readonly<Record<Responsibility['mode'], string>> = {
  presumption: 'A rule names the party',
  proportional: 'Shared by how likely each origin is',
  unassigned: 'Nobody yet: to a person',
};

function SharesPart(props: {
  readonly part: Responsibility;
  readonly title: string;
  readonly currency: string;
}): ReactNode {
  const { part, title, currency } = props;
  return (
    <div className="finding stack">
      <h3>{title}</h3>
      <p>
        <strong>{MODES[part.mode]}.</strong> {part.because}
      </p>
      {part.shares.length === 0 ? null : (
        <table className="bars">
          <caption className="away">Shares of the cost of {title}</caption>
          <thead>
            <tr>
              <th scope="col">Party</th>
              <th scope="col">
                <span className="away">Bar</span>
              </th>
              <th scope="col" className="amount">
                Share
              </th>
              <th scope="col" className="amount">
                Of {showMoney(part.costMinor, currency)}
              </th>
            </tr>
          </thead>
          <tbody>
            {part.shares.map(({ party, bp }) => (
              <tr key={party}>
                <th scope="row">{PARTY_WORDS[party]}</th>
                <td>
                  <svg viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
                    <rect className="track" width="100" height="10" />
                    <rect className="fill" width={bp / 100} height="10" />
                  </svg>
                </td>
                <td className="figures">{showShare(bp)}</td>
                <td className="figures">
                  {showMoney(part.amounts.find((each) => each.party === party)?.amountMinor ?? 0, currency)}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {part.fired.length === 0 ? null : (
        <details>
          <summary>Rules that decided it</summary>
          <ul>
            {part.fired.map(({ decision, rule, because, source }) => (
              <li key={`${decision} ${rule}`}>
                <code>
                  {decision} / {rule}
                </code>
                {because === undefined ? '' : `: ${because}`}
                {source === undefined ? null : <span className="sub">{source}</span>}
              </li>
            ))}
          </ul>
        </details>
      )}
    </div>
  );
}
