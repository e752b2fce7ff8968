import { answerOf, answerWords, say } from '../../domain/walk-view.js';
import { useApp } from '../app-state.js';
import { Frame, Heading, Mark, Note, Way } from '../parts/frame.js';
import { sayer } from '../words/sayer.js';
import type { Inspection } from '../walk/inspection.js';

/** Every check that is asked, with its answer. */
export function Checks({ of }: { readonly of: Inspection }) {
  const { lang } = useApp();
  const w = sayer(lang);
  const { walk, id } = of;
  return (
    <Frame title={w('allChecks')}>
      <div class="stack">
        <Heading about="checks">{w('allChecks')}</Heading>
        {of.finished ? (
          <Note tone="plainly">
            <p>{w('closedNow')}</p>
          </Note>
        ) : null}
        {walk.checklist.sections.map((section) => {
          const items = section.items.filter((item) => walk.asked.some((each) => each.id === item.id));
          return items.length === 0 ? null : (
            <section key={section.id}>
              <h2>{say(section.title, lang)}</h2>
              <ul class="plain checks">
                {items.map((item) => {
                  const given = answerOf(walk, item.id);
                  const owed = walk.owed.some((each) => each.item === item.id);
                  return (
                    <li key={item.id}>
                      <Way to={`/crew/inspections/${id}?check=${item.id}`}>
                        <span>{say(item.ask, lang)}</span>
                        <span class="said">
                          {given === undefined ? w('noAnswer') : answerWords(item, given.value, lang)}
                        </span>
                        {owed && given !== undefined ? (
                          <Mark shape="triangle" tone="warn" says={w('photos')} />
                        ) : given === undefined ? (
                          <Mark shape="ring" tone="plainly" says={w('openCheck')} />
                        ) : given.value === null ? (
                          <Mark shape="cross" tone="plainly" says={w('could')} />
                        ) : (
                          <Mark shape="tick" tone="ok" says={w('done')} />
                        )}
                      </Way>
                    </li>
                  );
                })}
              </ul>
            </section>
          );
        })}
        <nav class="ways" aria-label={w('visit')}>
          <Way to={`/crew/visits/${of.visit.id}`}>{w('toVisit')}</Way>
          <Way to={`/crew/inspections/${id}/send`}>{w('toSend')}</Way>
        </nav>
      </div>
    </Frame>
  );
}
