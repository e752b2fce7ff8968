import './rehearsals.css';
import { getRouteApi, Link } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { showClaimNumber } from '../../../kernel/claim-number.js';
import type { ClaimSide, RehearsalChange } from '../../../policies/rehearsals.contract.js';
import { showMoney } from '../../domain/money-words.js';
import { pairQuestions, type PairedQuestion } from '../../domain/rehearsal-views.js';
import { count, showTime } from '../../domain/time-words.js';
import { PARTY_WORDS, remediesInWords, sentenceCase, showShare } from '../../domain/trade-words.js';
import type { Question } from '../api/records.js';
import { useRehearsedClaim, type RehearsedClaim } from '../api/rehearsals.js';
import { Note } from '../parts/parts.js';
import { Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { Answer, questionWords } from '../records/way.js';
import { kindWords } from './rehearsal-changes.js';
import { showDifference } from './rehearsal-money.js';

const route = getRouteApi('/rehearsals/$id/claims/$record');

/** One claim that comes out otherwise: both outcomes, and the way to each rule by rule. */
export function RehearsedClaimPage(): ReactNode {
  const { id, record } = route.useParams();
  const found = useRehearsedClaim(id, record);
  const number = found.data?.change.number ?? null;
  const title = number === null ? 'Claim' : showClaimNumber(number);
  useTitle(`${title} · Rehearsal`);
  return (
    <>
      <div className="head">
        <div>
          <p className="quiet noprint">
            <Link to="/rehearsals/$id" params={{ id }}>
              The rehearsal
            </Link>
            {found.data === undefined ? null : (
              <>
                {' '}
                ·{' '}
                <Link to="/claims/$id" params={{ id: found.data.change.claim }}>
                  The claim
                </Link>{' '}
                ·{' '}
                <Link to="/records/$id" params={{ id: record }}>
                  The record of its judgement
                </Link>
              </>
            )}
          </p>
          <h1 className="figures left">{title}</h1>
          {found.data === undefined ? null : <p>Changes in: {kindWords(found.data.change.kinds).toLowerCase()}.</p>}
        </div>
      </div>
      {found.isPending ? <Loading what="both ways" /> : null}
      {found.isError ? <Failing trouble={found.error} again={() => void found.refetch()} /> : null}
      {found.data ? <Both claim={found.data} /> : null}
    </>
  );
}

function Both({ claim }: { readonly claim: RehearsedClaim }): ReactNode {
  const { change, was, becomes } = claim;
  const pairs = pairQuestions(was?.questions ?? [], becomes?.questions ?? []);
  const differing = pairs.filter(({ alike }) => !alike);
  const alike = pairs.filter((pair) => pair.alike);
  const heads = [sideHead('Before', was?.version), sideHead('After', becomes?.version)] as const;
  return (
    <>
      <Outcomes change={change} heads={heads} />
      {was === undefined ? (
        <Note tone="warn" title="The version that judged this claim is gone.">
          <p>Only the way under the rehearsed version can be shown.</p>
        </Note>
      ) : null}
      {change.becomes === null ? (
        <Note tone="bad" title="The rehearsed version cannot be applied.">
          <p>{change.problem}</p>
        </Note>
      ) : null}
      <section className="sheet stack" id="ways">
        <h2>How it comes about</h2>
        <p className="quiet">
          Questions that were put to both versions, with the rules that answered them.{' '}
          {differing.length === 0
            ? 'All of them were answered alike: the difference lies in dated parameters, clocks or what is added up from them.'
            : `${count(differing.length, 'question')} answered otherwise, ${alike.length} alike.`}
        </p>
        <Pairs pairs={differing} heads={heads} />
        {alike.length === 0 ? null : (
          <details>
            <summary>{count(alike.length, 'question')} answered alike</summary>
            <Pairs pairs={alike} heads={heads} />
          </details>
        )}
      </section>
    </>
  );
}

function sideHead(says: string, version: number | undefined): string {
  return version === undefined ? says : `${says}, by version ${version}`;
}

type Heads = readonly [before: string, after: string];

function Pairs(props: { readonly pairs: readonly PairedQuestion<Question>[]; readonly heads: Heads }): ReactNode {
  return props.pairs.map(({ key, was, becomes }) => (
    <div className="both-ways" key={key}>
      <h3>{questionWords(becomes ?? was)}</h3>
      <div className="sides">
        <div>
          <p className="quiet">{props.heads[0]}</p>
          {was === undefined ? <p>It was not asked.</p> : <Answer question={was} beside={becomes} />}
        </div>
        <div>
          <p className="quiet">{props.heads[1]}</p>
          {becomes === undefined ? <p>It is not asked.</p> : <Answer question={becomes} beside={was} />}
        </div>
      </div>
    </div>
  ));
}

function Outcomes({ change, heads }: { readonly change: RehearsalChange; readonly heads: Heads }): ReactNode {
  const { currency, was, becomes } = change;
  const money = (of: (side: ClaimSide) => number) =>
    [showMoney(of(was), currency), becomes === null ? '–' : showMoney(of(becomes), currency)] as const;
  const text = (of: (side: ClaimSide) => string) => [of(was), becomes === null ? '–' : of(becomes)] as const;
  const lines: readonly (readonly [string, readonly [string, string]])[] = [
    ['Remedy', text(({ remedies }) => remediesInWords(remedies))],
    ['To the customer', money(({ customerMinor }) => customerMinor)],
    ['Cost in all', money(({ costMinor }) => costMinor)],
    ['Who answers', text(answersWords)],
    ['Demanded', text(({ demands }) => demandWords(demands, currency))],
    ['Held for safety', text(({ hold }) => (hold ? 'Yes' : 'No'))],
    ['Verdict', text(({ verdict }) => sentenceCase(verdict))],
    ...clockLine(change),
  ];
  return (
    <section className="sheet" id="outcomes">
      <h2>What comes out</h2>
      <div className="scroll" tabIndex={0} role="region" aria-label="What comes out before and after">
        <table className="comes-out">
          <caption className="away">What comes out before and after</caption>
          <thead>
            <tr>
              <th scope="col">What</th>
              <th scope="col">{heads[0]}</th>
              <th scope="col">{heads[1]}</th>
            </tr>
          </thead>
          <tbody>
            {lines.map(([says, [before, after]]) => (
              <tr key={says}>
                <th scope="row">{says}</th>
                <td>{before}</td>
                <td>
                  {before === after ? <span className="quiet">the same</span> : <strong>{after}</strong>}
                  {says === 'To the customer' && becomes !== null && before !== after ? (
                    <span className="sub">{showDifference(becomes.customerMinor - was.customerMinor, currency)}</span>
                  ) : null}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

function answersWords({ responsible }: ClaimSide): string {
  return responsible
    .map(
      ({ about, shares }) =>
        `${about}: ${shares.length === 0 ? 'nobody yet' : shares.map(({ party, bp }) => `${PARTY_WORDS[party]} ${showShare(bp)}`).join(', ')}`,
    )
    .join('; ');
}

function demandWords(demands: ClaimSide['demands'], currency: string): string {
  if (demands.length === 0) return 'Nothing';
  return demands.map(({ party, totalMinor }) => `${PARTY_WORDS[party]} ${showMoney(totalMinor, currency)}`).join(', ');
}

/** Ends of the clocks that end otherwise; without any there is no line. */
function clockLine({ was, becomes }: RehearsalChange): readonly (readonly [string, readonly [string, string]])[] {
  if (becomes === null) return [];
  const ends = (side: ClaimSide) => new Map(side.clocks.map(({ id, endsAt }) => [id, endsAt]));
  const [before, after] = [ends(was), ends(becomes)];
  const ids = [...new Set([...before.keys(), ...after.keys()])].filter((id) => before.get(id) !== after.get(id));
  const words = (side: ReadonlyMap<string, string | null>): string =>
    ids
      .map((id) => {
        const end = side.get(id);
        return `${id} ${end === undefined ? 'does not run' : end === null ? 'has no end yet' : showTime(end)}`;
      })
      .join('; ');
  return ids.length === 0 ? [] : [['Clocks that end otherwise', [words(before), words(after)]]];
}
