import type { ReactNode } from 'react';
import type { ClaimEvent } from '../../../claims/claims.contract.js';
import { showMoney } from '../../domain/money-words.js';
import { REMEDY_WORDS, sentenceCase } from '../../domain/trade-words.js';
import type { CaseData } from '../../case-data.js';
import { Mark, Note, Time } from '../parts/parts.js';

/** Decisions so far, the newest first, with what each said. */
export function Decisions({ view: { dossier, claim, visit, assessment } }: { readonly view: CaseData }): ReactNode {
  if (dossier.decisions.length === 0) return null;
  return (
    <section className="sheet stack" id="decisions">
      <h2>Decisions</h2>
      {dossier.decisions.toReversed().map((decision) => (
        <div key={decision.n} className="tight">
          <div className="row">
            <strong>
              {sentenceCase(decision.outcome)}: {showMoney(decision.totalMinor, claim.currency)}
            </strong>
            <Mark {...DECISION_MARKS[decision.state]} />
          </div>
          <p>{decision.body.remedies.map((remedy) => REMEDY_WORDS[remedy]).join(', ')}</p>
          <p className="quiet">
            By {decision.body.decidedByName}, <Time at={decision.decidedAt} zone={visit.zone} />
            {decision.body.confirmedByName === undefined ? '' : `; confirmed by ${decision.body.confirmedByName}`}
            {decision.body.overrides ? '; departs from the proposal' : ''}
          </p>
          {decision.reasonCode === null ? null : (
            <p>
              {sentenceCase(decision.reasonCode)}: {decision.words}
            </p>
          )}
          {Object.entries(decision.body.explanations ?? {}).map(([subject, explanation]) => (
            <p key={subject}>What was the matter: {faultWords(assessment, subject, explanation)}</p>
          ))}
          {(['en', 'es'] as const).map((lang) =>
            decision.body.toRetailer?.[lang] === undefined ? null : (
              <p key={lang}>
                To the retailer{lang === 'es' ? ', in Spanish' : ''}:{' '}
                <span lang={lang}>{decision.body.toRetailer[lang]}</span>
              </p>
            ),
          )}
          {decision.body.sentBackBecause === undefined ? null : <p>Sent back: {decision.body.sentBackBecause}</p>}
        </div>
      ))}
    </section>
  );
}

/** An explanation as the assessment calls it; its code where a later one knows it no more. */
function faultWords(assessment: CaseData['assessment'], subject: string, id: string): string {
  const finding = assessment?.findings.find((each) => each.subject === subject);
  const fault = finding?.explanations.find((each) => each.id === id)?.fault ?? id;
  return finding === undefined ? fault : `${finding.title.en}: ${fault}`;
}

const DECISION_MARKS = {
  standing: { says: 'Stands', shape: 'square', tone: 'ok' },
  'awaiting second person': { says: 'Waits for a second person', shape: 'half', tone: 'warn' },
  'sent back': { says: 'Sent back', shape: 'cross', tone: 'plainly' },
  superseded: { says: 'Superseded', shape: 'cross', tone: 'plainly' },
} as const;

/** Questions to people outside the desk, with their answers. */
export function Questions({ view: { dossier, visit } }: { readonly view: CaseData }): ReactNode {
  if (dossier.questions.length === 0) return null;
  return (
    <section className="sheet stack" id="questions">
      <h2>Questions</h2>
      {dossier.questions.map((question) => (
        <div key={question.askedAt} className="tight">
          <p>
            <strong>{question.asked}</strong>
            <span className="sub">
              {question.askedBy} asked the {question.ofParty}, <Time at={question.askedAt} zone={visit.zone} />
            </span>
          </p>
          {question.answer === null ? (
            <Mark shape="triangle" tone="warn" says="No answer yet" />
          ) : (
            <p>
              {question.answer}
              <span className="sub">
                {question.answeredBy}
                {question.answeredAt === null ? null : (
                  <>
                    , <Time at={question.answeredAt} zone={visit.zone} />
                  </>
                )}
              </span>
            </p>
          )}
        </div>
      ))}
    </section>
  );
}

/** The whole trail with the check of its chain. */
export function Trail({ view: { events, chainFault, visit } }: { readonly view: CaseData }): ReactNode {
  return (
    <section className="sheet stack" id="trail">
      <div className="row spread">
        <h2>Trail</h2>
        {chainFault === undefined ? (
          <Mark shape="tick" tone="ok" says="Chain is whole" />
        ) : (
          <Mark shape="triangle" tone="bad" says="Chain is broken" />
        )}
      </div>
      {chainFault === undefined ? null : (
        <Note tone="bad" title="Somebody changed the history.">
          <p>{chainFault} Do not decide on this file; tell the administrator.</p>
        </Note>
      )}
      <ol className="plain trail">
        {events.map((event) => (
          <li key={event.n}>
            <time dateTime={event.at}>
              <Time at={event.at} zone={visit.zone} />
            </time>
            <strong>{sentenceCase(event.kind.replaceAll('-', ' '))}</strong> by {event.actor.name}
            {eventWords(event) === '' ? null : <p className="quiet">{eventWords(event)}</p>}
            <span className="hash" title="SHA-256 of this entry and the one before">
              {event.hash.slice(0, 16)}…
            </span>
          </li>
        ))}
      </ol>
    </section>
  );
}

/** The words in an event's body that a person wrote. */
function eventWords({ body }: ClaimEvent): string {
  if (typeof body['takenFrom'] === 'string') return `Over from ${body['takenFrom']}`;
  return ['reason', 'words', 'asked', 'because', 'reference']
    .flatMap((name) => {
      const value = body[name];
      return typeof value === 'string' && value !== '' ? [sentenceCase(value)] : [];
    })
    .join(' · ');
}
