import type { VNode } from 'preact';
import { crewWord, type CrewWord, type Lang } from '../domain/crew-words.js';
import { answerOf, answerWords, say, type Walk } from '../domain/walk-view.js';
import { CrewFrame } from './crew-frame.js';
import { Mark, Note } from './parts.js';

/** Every check that is asked, with its answer. */
export function CrewChecks(props: {
  readonly id: string;
  readonly visitId: string;
  readonly walk: Walk;
  readonly lang: Lang;
  readonly finished: boolean;
}): VNode {
  const { id, walk, lang } = props;
  const w = (word: CrewWord) => crewWord(lang, word);
  return (
    <CrewFrame title={w('allChecks')} lang={lang} here={`/crew/inspections/${id}/checks`} scripts={['crew-form.js']}>
      <div class="stack">
        <h1>{w('allChecks')}</h1>
        {props.finished ? (
          <Note tone="plainly">
            <p>{w('closedNow')}</p>
          </Note>
        ) : null}
        {walk.checklist.sections.map((section) => {
          const items = section.items.filter(({ id: item }) => walk.asked.some((each) => each.id === item));
          return items.length === 0 ? null : (
            <section>
              <h2>{say(section.title, lang)}</h2>
              <ul class="plain checks">
                {items.map((item) => {
                  const answer = answerOf(walk, item.id);
                  const owed = walk.owed.some((each) => each.item === item.id);
                  return (
                    <li>
                      <a href={`/crew/inspections/${id}?check=${item.id}`}>
                        <span>{say(item.ask, lang)}</span>
                        <span class="said">
                          {answer === undefined ? w('noAnswer') : answerWords(item, answer.value, lang)}
                        </span>
                        {owed && answer !== undefined ? (
                          <Mark shape="triangle" tone="warn" says={w('photos')} />
                        ) : answer === undefined ? (
                          <Mark shape="ring" tone="plainly" says={w('openCheck')} />
                        ) : answer.value === null ? (
                          <Mark shape="cross" tone="plainly" says={w('could')} />
                        ) : (
                          <Mark shape="tick" tone="ok" says={w('done')} />
                        )}
                      </a>
                    </li>
                  );
                })}
              </ul>
            </section>
          );
        })}
        <nav class="ways" aria-label={w('visit')}>
          <a href={`/crew/visits/${props.visitId}`}>{w('toVisit')}</a>
          <a href={`/crew/inspections/${id}/send`}>{w('toSend')}</a>
        </nav>
      </div>
    </CrewFrame>
  );
}
