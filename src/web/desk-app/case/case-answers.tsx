import type { ReactNode } from 'react';
import { answerOf, answerWords } from '../../domain/walk-view.js';
import { showTime } from '../../domain/time-words.js';
import type { CaseData } from '../../case-data.js';
import { Note, Time } from '../parts/parts.js';
import { AnswerPhones } from './answer-phones.js';

/** What the crew answered, with what could not be checked. */
export function Answers({ view }: { readonly view: CaseData }): ReactNode {
  const inspection = view.inspection;
  if (inspection === undefined) {
    return (
      <section className="sheet">
        <h2>Inspection</h2>
        <p className="quiet">This claim rests on no inspection.</p>
      </section>
    );
  }
  const { walk } = inspection;
  return (
    <section className="sheet" id="answers">
      <h2>What the crew answered</h2>
      <p className="quiet">
        By {inspection.startedBy}, {inspection.crewSize} people, from{' '}
        <Time at={inspection.startedAt} zone={view.visit.zone} />
        {inspection.finishedAt === null
          ? '; still open'
          : `; finished ${showTime(inspection.finishedAt, view.visit.zone)}`}
        . Checklist {walk.checklist.id}, version {walk.checklist.version}.
      </p>
      {inspection.gapsReason === null ? null : (
        <Note tone="plainly" title="Closed with gaps:">
          <p>{inspection.gapsReason}</p>
        </Note>
      )}
      {walk.stops.map(({ stop, raisedAt, acknowledgedAt }) => (
        <Note
          key={stop}
          tone="bad"
          title={`Safety stop: ${walk.checklist.stops.find(({ id }) => id === stop)?.says.en ?? stop}`}
        >
          <p>
            Raised <Time at={raisedAt} zone={view.visit.zone} />;{' '}
            {acknowledgedAt === null
              ? 'nobody has acknowledged it yet.'
              : `acknowledged ${showTime(acknowledgedAt, view.visit.zone)}.`}
          </p>
        </Note>
      ))}
      <table className="cards">
        <caption className="away">Answers of the inspection</caption>
        <thead>
          <tr>
            <th scope="col">Check</th>
            <th scope="col">Answer</th>
          </tr>
        </thead>
        <tbody>
          {walk.asked.map((item) => {
            const answer = answerOf(walk, item.id);
            return (
              <tr key={item.id}>
                <td>{item.ask.en}</td>
                <td data-label="Answer">
                  {answer === undefined ? (
                    <span className="quiet">No answer</span>
                  ) : (
                    <strong>{answerWords(item, answer.value, 'en')}</strong>
                  )}
                  {answer === undefined || inspection.answeredAt[item.id] === undefined ? null : (
                    <span className="sub">
                      <Time at={inspection.answeredAt[item.id] ?? ''} zone={view.visit.zone} />
                    </span>
                  )}
                  <AnswerPhones view={view} item={item.id} />
                  {answer?.note === undefined ? null : <span className="sub">“{answer.note}”</span>}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </section>
  );
}
