import { getRouteApi, Link } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import type { RemedyProposal } from '../../../adjudication/adjudication.contract.js';
import { showClaimNumber } from '../../../kernel/claim-number.js';
import { showMoney } from '../../domain/money-words.js';
import { stateMark } from '../../domain/state-marks.js';
import { dueIn } from '../../domain/time-words.js';
import { GROUND_WORDS, PARTY_WORDS, REMEDY_WORDS, sentenceCase, showShare } from '../../domain/trade-words.js';
import { CaseActs } from './case-acts.js';
import { CarrierCases } from './case-carrier.js';
import { Answers, Delivery, Photos } from './case-evidence.js';
import { Clocks, Remedies } from './case-money.js';
import { Findings } from './case-findings.js';
import { Shares } from './case-shares.js';
import { Decisions, Questions, Trail } from './case-trail.js';
import type { CaseData } from '../../case-data.js';
import { useCase } from '../api/case.js';
import type { ClaimAct } from '../../domain/claim-acts.js';
import { useKeys } from '../keys.js';
import { Caution, Facts, Mark, Note } from '../parts/parts.js';
import { Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';

const route = getRouteApi('/claims/$id');

/** The page of a case: evidence on the left, what the service says and what a person may do on the right. */
export function CasePage(): ReactNode {
  const { id } = route.useParams();
  const found = useCase(id);
  if (found.data) return <Case view={found.data} />;
  if (found.isError) return <Failing trouble={found.error} again={() => void found.refetch()} />;
  return <Loading what="the case" />;
}

function Case({ view }: { readonly view: CaseData }): ReactNode {
  const { claim, line } = view;
  const number = claim.number === null ? 'Draft' : showClaimNumber(claim.number);
  useTitle(`${number} · ${line.model}`);
  useKeys({
    d: openAct('approve'),
    o: openAct('other-remedy'),
    a: openAct('ask'),
    w: () => document.getElementById('findings')?.scrollIntoView(),
  });
  return (
    <>
      <div className="head">
        <div>
          <p className="quiet noprint">
            <Link to="/">Queue</Link>
          </p>
          <h1>
            <span className="figures">{number}</span>
          </h1>
          <p>
            {line.model} · {GROUND_WORDS[claim.ground]}
            {claim.returnReason === null ? '' : ` (${claim.returnReason})`} · {line.retailer}
          </p>
        </div>
        <div className="row">
          <Mark {...stateMark(claim.state, line.outcome, line.awaitingSecondPerson)} />
          <Due view={view} />
        </div>
      </div>
      <div className="case">
        <div className="says">
          <Proposal view={view} />
          <CaseActs view={view} />
          <Decisions view={view} />
          <Questions view={view} />
          <Shares view={view} />
          <Elements view={view} />
        </div>
        <div>
          <Photos view={view} />
          <Findings view={view} />
          <Remedies view={view} />
          <CarrierCases view={view} />
          <Clocks view={view} />
          <Answers view={view} />
          <Delivery view={view} />
          <Trail view={view} />
        </div>
      </div>
    </>
  );
}

/** Unfolds an act and puts the cursor into it; nothing is sent by a key alone. */
function openAct(act: ClaimAct): () => void {
  return () => {
    const place = document.getElementById(act);
    if (!(place instanceof HTMLDetailsElement)) return;
    place.open = true;
    place.querySelector<HTMLElement>('input:not([type=hidden]), select, textarea, button')?.focus();
  };
}

function Due({ view: { claim, now } }: { readonly view: CaseData }): ReactNode {
  if (claim.dueAt === null) return null;
  const due = dueIn(claim.dueAt, now);
  const says = `${sentenceCase((claim.dueClock ?? 'due').replaceAll('-', ' '))} ${due.says}`;
  return due.late ? (
    <Mark shape="triangle" tone="bad" says={says} />
  ) : (
    <Mark shape="half" tone={due.soon ? 'warn' : 'plainly'} says={says} />
  );
}

function Proposal({ view }: { readonly view: CaseData }): ReactNode {
  const { assessment, standing } = view;
  return (
    <section className="sheet stack" id="proposal">
      <h2>Where it stands</h2>
      <p>
        {standing.says} {standing.next}
      </p>
      {assessment === undefined ? (
        <p className="quiet">
          The service has made no proposal yet. It takes a few seconds after filing; reload the page.
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
function Elements({ view: { assessment } }: { readonly view: CaseData }): ReactNode {
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
