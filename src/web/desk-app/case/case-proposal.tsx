import type { ReactNode } from 'react';
import type { RemedyProposal } from '../../../adjudication/adjudication.contract.js';
import { showMoney } from '../../domain/money-words.js';
import { PARTY_WORDS, REMEDY_WORDS, sentenceCase, showShare } from '../../domain/trade-words.js';
import type { CaseData } from '../../case-data.js';
import { Caution, Facts, Note } from '../parts/parts.js';
import { RecordLink } from '../records/record-link.js';

/** What the policy says, as far as the service got, and what it leaves to a person. */
export function Proposal({ view }: { readonly view: CaseData }): ReactNode {
  const { assessment, standing } = view;
  return (
    <section className="sheet stack" id="proposal">
      <h2>Where it stands</h2>
      <p>
        {standing.says} {standing.next}
      </p>
      {assessment === undefined ? (
        <p className="quiet">
          The service has made no proposal yet. It takes a few seconds after filing and appears by itself.
        </p>
      ) : (
        <>
          <div className="tight">
            <p className="quiet">What the policy says</p>
            {assessment.remedy.chosen.map(({ remedy, parts, because }) => (
              <div key={because + remedy}>
                <p className="big">
                  {REMEDY_WORDS[remedy]}
                  {parts.length === 0
                    ? ''
                    : ` ${parts.map(({ number, pieces }) => `${pieces} × ${number}`).join(', ')}`}
                </p>
                <p className="quiet">{because}</p>
              </div>
            ))}
            <Amounts remedy={assessment.remedy} />
          </div>
          <Facts
            of={[
              ['Answers for it', partiesWords(view)],
              ['Verdict', assessment.verdict === 'proposed' ? 'Proposed' : 'Left to a person'],
              ['Second person above', showMoney(assessment.secondPersonAboveMinor, assessment.remedy.currency)],
              ['Policy', `${assessment.documents.policy.id}, version ${assessment.documents.policy.version}`],
            ]}
          />
          {assessment.reasons.length === 0 ? null : (
            <Note tone="warn" title="Left to you, because">
              <ul>
                {assessment.reasons.map((reason) => (
                  <li key={reason}>{reason}</li>
                ))}
              </ul>
            </Note>
          )}
          {assessment.needs.length === 0 ? null : (
            <Note tone="info" title="Still needed">
              <ul>
                {assessment.needs.map(({ ask, why }) => (
                  <li key={ask}>
                    {ask} <span className="sub">{why}</span>
                  </li>
                ))}
              </ul>
            </Note>
          )}
          <RecordLink claim={view.claim.id} />
          <Caution />
        </>
      )}
    </section>
  );
}

function Amounts({ remedy }: { readonly remedy: RemedyProposal }): ReactNode {
  const all = showMoney(remedy.costTotalMinor, remedy.currency);
  if (remedy.customerTotalMinor === 0) return <p>No money to the customer; it costs {all} in all.</p>;
  return (
    <>
      <p className="amount-big">{showMoney(remedy.customerTotalMinor, remedy.currency)}</p>
      <p className="quiet">to the customer; {all} in all</p>
    </>
  );
}

function partiesWords({ assessment }: CaseData): string {
  const parts = assessment?.responsibility ?? [];
  const shares = parts.flatMap((part) => part.shares.map(({ party, bp }) => `${PARTY_WORDS[party]} ${showShare(bp)}`));
  return shares.length === 0 ? 'Nobody yet' : [...new Set(shares)].join(', ');
}

/** What the assessment rests on: documents, rules, and what would be worth looking at. */
export function Elements({ view: { assessment } }: { readonly view: CaseData }): ReactNode {
  if (assessment === undefined) return null;
  const { documents, rules, nextChecks } = assessment;
  return (
    <section className="sheet stack" id="elements">
      <h2>What it rests on</h2>
      <Facts
        of={(['checklist', 'evidenceModel', 'policy'] as const).map((kind) => [
          kind === 'evidenceModel' ? 'Evidence model' : sentenceCase(kind),
          <>
            {documents[kind].id}, version {documents[kind].version}
            <span className="hash sub">{documents[kind].hash.slice(0, 16)}…</span>
          </>,
        ])}
      />
      {nextChecks.length === 0 ? null : (
        <div className="tight">
          <h3>Looks that would still tell something</h3>
          <ul>
            {nextChecks.slice(0, 3).map(({ says, expectedBits, effortSeconds }) => (
              <li key={says.en}>
                {says.en}
                <span className="sub">
                  settles {expectedBits.toFixed(2)} bits, about {Math.round(effortSeconds)} s
                </span>
              </li>
            ))}
          </ul>
        </div>
      )}
      <details>
        <summary>Rules that fired ({rules.length})</summary>
        <ul>
          {rules.map((rule) => (
            <li key={rule}>
              <code>{rule}</code>
            </li>
          ))}
        </ul>
      </details>
    </section>
  );
}
