import { Link } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import type { PhoneStanding, RefusedFact } from '../../../inspections/phones.contract.js';
import type { CaseData } from '../../case-data.js';
import type { CasePhones } from '../../domain/case-phones.js';
import { clockWords, heldWords } from '../../domain/nudge-words.js';
import { count, showTime } from '../../domain/time-words.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { useCasePhones } from '../api/phones.js';
import { Mark, Note, Time } from '../parts/parts.js';
import { Failing } from '../parts/states.js';
import { SettleCheck } from './settle-check.js';
import type { Seen } from './use-seen.js';
import { wordsOf } from './said-words.js';

interface CasePhonesProps {
  readonly view: CaseData;
  readonly seen: Seen;
}

/** What the crew's phones do not agree on, still hold, lost, or brought after it was too late. Nothing where all is well. */
export function PhonesOfCase({ view, seen }: CasePhonesProps): ReactNode {
  const found = useCasePhones(view.claim.id, view.claim.visitId);
  if (found.isError && found.data === undefined)
    return (
      <section className="sheet" id="phones">
        <h2>Phones of the crew</h2>
        <Failing trouble={found.error} again={() => void found.refetch()} />
      </section>
    );
  if (found.data === undefined) return null;
  const { phones, disagreements } = found.data;
  const late = lateWords(view, found.data);
  const refused = phones.flatMap((phone) => phone.refused.map((fact) => ({ ...fact, crew: phone.crew })));
  const told = phones.filter(isTold);
  if (!phonesTell(view, found.data)) return null;
  return (
    <section className="sheet stack" id="phones">
      <h2>Phones of the crew</h2>
      {late === undefined ? null : (
        <Note tone="warn" title="New evidence after the decision">
          <p>{late} The decision does not change by itself: open the claim again where it matters.</p>
        </Note>
      )}
      {disagreements.map((each) => (
        <SettleCheck key={each.item} view={view} seen={seen} disagreement={each} />
      ))}
      {told.map((phone) => (
        <OnePhone key={phone.phone} phone={phone} zone={view.visit.zone} />
      ))}
      {refused.length === 0 ? null : <Refused facts={refused} view={view} />}
    </section>
  );
}

/** Whether the phones of a case tell anything that belongs on its page. */
export function phonesTell(view: CaseData, found: CasePhones): boolean {
  const { phones, disagreements } = found;
  if (disagreements.length > 0 || lateWords(view, found) !== undefined) return true;
  return phones.some((phone) => isTold(phone) || phone.refused.length > 0);
}

function isTold(phone: PhoneStanding): boolean {
  return owes(phone) || clockWords(phone.clockAheadSeconds) !== undefined;
}

function owes({ photosOwed, factsOwed }: PhoneStanding): boolean {
  return photosOwed + factsOwed > 0;
}

function OnePhone({ phone, zone }: { readonly phone: PhoneStanding; readonly zone: string }): ReactNode {
  const clock = clockWords(phone.clockAheadSeconds);
  const { lost } = phone;
  return (
    <div className="tight">
      {!owes(phone) ? null : lost === null ? (
        <>
          <Mark shape="triangle" tone="warn" says={`Waits for ${heldWords(phone)} on the phone of ${phone.crew}`} />
          <p className="quiet">
            Since <Time at={phone.since} zone={zone} />; heard last <Time at={phone.lastHeardAt} zone={zone} />.{' '}
            <Link to="/phones">Write to the crew, or call the phone lost</Link>
          </p>
        </>
      ) : (
        <>
          <Mark
            shape="cross"
            tone="plainly"
            says={`${sentenceCase(heldWords(phone))} lost with the phone of ${phone.crew}`}
          />
          <p className="quiet">
            {lost.by} said so, <Time at={lost.at} zone={zone} />: {lost.because}
          </p>
        </>
      )}
      {clock === undefined ? null : (
        <p>
          <Mark shape="half" tone="info" says={`The clock of ${phone.crew}’s phone ran ${clock}`} />
          <span className="sub">
            Its times were moved by as much; where it matters, the time by the phone stands beside ours.
          </span>
        </p>
      )}
    </div>
  );
}

type Late = RefusedFact & { readonly crew: string };

function Refused({ facts, view }: { readonly facts: readonly Late[]; readonly view: CaseData }): ReactNode {
  return (
    <details>
      <summary>{count(facts.length, 'note')} came too late or could not be done</summary>
      <ul className="plain stack">
        {facts.map((fact) => (
          <li key={fact.id} className="tight">
            <strong>{saidIn(fact, view)}</strong>
            <span className="sub">
              {fact.crew}, {showTime(fact.at, view.visit.zone)} by the phone
            </span>
            <p>{fact.problem}</p>
          </li>
        ))}
      </ul>
    </details>
  );
}

/** What a phone said, in a line. */
function saidIn({ kind, body }: RefusedFact, view: CaseData): string {
  const { item, value } = body;
  if (kind !== 'answer' || typeof item !== 'string') return sentenceCase(kind);
  const { ask, said } = wordsOf(view, item, value);
  return `${ask}: ${said}`;
}

/** What came after the decision that stands, as a sentence; undefined where nothing did. */
function lateWords({ claim, photos }: CaseData, { factsAfterDecision }: CasePhones): string | undefined {
  const { decidedAt } = claim;
  if (decidedAt === null) return undefined;
  const pictures = photos.filter(
    ({ row }) => Temporal.Instant.compare(Temporal.Instant.from(row.receivedAt), Temporal.Instant.from(decidedAt)) > 0,
  ).length;
  const parts = [
    ...(pictures > 0 ? [count(pictures, 'photo')] : []),
    ...(factsAfterDecision > 0 ? [`${count(factsAfterDecision, 'note')} from phones`] : []),
  ];
  return parts.length === 0 ? undefined : `${parts.join(' and ')} came after it was decided.`;
}
