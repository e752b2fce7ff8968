import './case.css';
import { getRouteApi, useNavigate } from '@tanstack/react-router';
import { useEffect, type ReactNode } from 'react';
import { showClaimNumber } from '../../../kernel/claim-number.js';
import type { CaseData } from '../../case-data.js';
import type { ClaimAct } from '../../domain/claim-acts.js';
import { useCase } from '../api/case.js';
import { useKeys } from '../keys.js';
import { Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { lastSearch, neighboursOf } from '../queue/last-queue.js';
import { ClaimRecoveriesPart } from '../recovery/claim-recoveries.js';
import { CaseActs } from './case-acts.js';
import { Answers } from './case-answers.js';
import { CarrierCases } from './case-carrier.js';
import { Custody } from './case-custody.js';
import { Delivery } from './case-delivery.js';
import { Earlier } from './case-earlier.js';
import { Findings } from './case-findings.js';
import { CaseHead } from './case-head.js';
import { Clocks, Remedies } from './case-money.js';
import { News } from './case-news.js';
import { PhonesOfCase } from './case-phones.js';
import { Elements, Proposal } from './case-proposal.js';
import { Shares } from './case-shares.js';
import { Decisions, Questions, Trail } from './case-trail.js';
import { PhotoPairs } from './photos/photo-pairs.js';
import { PhotoTable } from './photos/photo-table.js';
import { Warranty } from './case-warranty.js';
import { useSeen } from './use-seen.js';

const route = getRouteApi('/claims/$id');

/** The page of a case: evidence on the left, what the service says and what a person may do on the right. */
export function CasePage(): ReactNode {
  const { id } = route.useParams();
  const found = useCase(id);
  const navigate = useNavigate();
  const { before, next } = neighboursOf(id);
  const to = (other: string | undefined) => () => {
    if (other !== undefined) void navigate({ to: '/claims/$id', params: { id: other } });
  };
  useKeys({
    '[': to(before),
    ']': to(next),
    Escape: () => void navigate({ to: '/', search: lastSearch() }),
  });
  // One case after the other is another page, with nothing left of what was typed for the one before.
  if (found.data) return <Case key={id} view={found.data} />;
  return (
    <>
      <h1>Case</h1>
      {found.isError ? (
        <Failing trouble={found.error} again={() => void found.refetch()} />
      ) : (
        <Loading what="the case" />
      )}
    </>
  );
}

function Case({ view }: { readonly view: CaseData }): ReactNode {
  const { claim, line } = view;
  const seen = useSeen(view);
  useTitle(`${claim.number === null ? 'Draft' : showClaimNumber(claim.number)} · ${line.model}`);
  useKeys({
    d: openAct('approve', 'confirm'),
    o: openAct('other-remedy', 'approve-in-part'),
    a: openAct('ask'),
    n: openAct('note'),
    w: () => document.getElementById('findings')?.scrollIntoView(),
  });
  useEffect(unfoldForPrint, []);
  return (
    <>
      <CaseHead view={view} />
      <News view={view} seen={seen} />
      <div className="case">
        <div className="says">
          <Proposal view={view} />
          <CaseActs view={view} seen={seen} />
          <Decisions view={view} />
          <Questions view={view} />
          <Shares view={view} />
          <Elements view={view} />
        </div>
        <div>
          <PhotoTable view={view} />
          <PhotoPairs view={view} />
          <Findings view={view} />
          <Remedies view={view} />
          <ClaimRecoveriesPart claim={claim.id} />
          <CarrierCases view={view} />
          <Clocks view={view} />
          <Custody view={view} />
          <Earlier view={view} />
          <PhonesOfCase view={view} seen={seen} />
          <Answers view={view} />
          <Delivery view={view} />
          <Warranty view={view} />
          <Trail view={view} />
        </div>
      </div>
    </>
  );
}

/** Unfolds the first of the acts that is there and puts the cursor into it; nothing is sent by a key alone. */
function openAct(...acts: readonly ClaimAct[]): () => void {
  return () => {
    const place = acts.map((act) => document.getElementById(act)).find((each) => each !== null);
    if (!(place instanceof HTMLDetailsElement)) return;
    place.open = true;
    // What is folded away inside it cannot take the cursor.
    const controls = place.querySelectorAll<HTMLElement>('input:not([type=hidden]), select, textarea, button');
    [...controls].find((each) => each.checkVisibility())?.focus();
  };
}

/** What is folded away belongs to the printed file; browsers without ::details-content leave it out otherwise. */
function unfoldForPrint(): () => void {
  let unfolded: readonly Element[] = [];
  const unfold = (): void => {
    const folded = [...document.querySelectorAll('.case details:not(.act, .noprint, [open])')];
    for (const each of folded) each.setAttribute('open', '');
    unfolded = [...unfolded, ...folded];
  };
  const fold = (): void => {
    for (const each of unfolded) each.removeAttribute('open');
    unfolded = [];
  };
  addEventListener('beforeprint', unfold);
  addEventListener('afterprint', fold);
  return () => {
    removeEventListener('beforeprint', unfold);
    removeEventListener('afterprint', fold);
  };
}
