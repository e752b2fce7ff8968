import type { ReactNode } from 'react';
import type { Checklist, ChecklistItem } from '../../../inspections/inspections.contract.js';
import type { Words } from '../../../kernel/vocabulary.js';
import { conditionWords, testWords } from './checklist-words.js';

/** A sentence in both languages; a missing Spanish one is marked. */
export function Both({ words, strong = false }: { readonly words: Words; readonly strong?: boolean }): ReactNode {
  const en = words.en === '' ? '(no words yet)' : words.en;
  return (
    <div className={strong ? 'pair said strong' : 'pair said'}>
      <p lang="en">{en}</p>
      {words.es === undefined ? (
        <p>
          <span className="warn">No Spanish</span> <span className="quiet">– the English is shown</span>
        </p>
      ) : (
        <p lang="es">{words.es}</p>
      )}
    </div>
  );
}

/** Everything about one check, to be read. */
export function ItemRead({
  item,
  checklist,
}: {
  readonly item: ChecklistItem;
  readonly checklist: Checklist;
}): ReactNode {
  const { answer, help, askIf = [], photos = [] } = item;
  return (
    <div className="stack form">
      {help === undefined ? null : (
        <Part title="Help">
          <Both words={help} />
        </Part>
      )}
      {answer.type === 'choice' ? (
        <Part title={answer.many === true ? 'Answers, several may be ticked' : 'Answers'}>
          {answer.choices.map(({ id, says }) => (
            <Both key={id} words={says} />
          ))}
        </Part>
      ) : null}
      {askIf.length === 0 ? null : (
        <Part title="Asked only if">
          <ul>
            {askIf.map((condition) => (
              <li key={JSON.stringify(condition)}>{conditionWords(condition, checklist)}</li>
            ))}
          </ul>
        </Part>
      )}
      {photos.length === 0 ? null : (
        <Part title="Photos it asks for">
          {photos.map(({ id, says, when }) => (
            <div key={id}>
              <Both words={says} />
              {when === undefined ? null : <p className="sub">Only if the answer {testWords(when, answer)}.</p>}
            </div>
          ))}
        </Part>
      )}
      <Consequences item={item} checklist={checklist} />
      <p className="sub">
        Id: <code>{item.id}</code>
      </p>
    </div>
  );
}

/** What an answer brings about: stops and observations. */
function Consequences({ item, checklist }: { readonly item: ChecklistItem; readonly checklist: Checklist }): ReactNode {
  const { answer, raises = [], yields = [] } = item;
  return (
    <>
      {raises.length === 0 ? null : (
        <Part title="Safety stops it raises">
          {raises.map(({ when, stop }) => (
            <div key={`${stop} ${JSON.stringify(when)}`}>
              <p className="sub">If the answer {testWords(when, answer)}:</p>
              <Both words={checklist.stops.find(({ id }) => id === stop)?.says ?? { en: stop }} />
            </div>
          ))}
        </Part>
      )}
      {yields.length === 0 ? null : (
        <Part title="Observations it yields">
          <ul>
            {yields.map(({ when, observation, sighting }) => (
              <li key={`${observation} ${sighting} ${JSON.stringify(when)}`}>
                <code>{observation}</code> is {sighting} if the answer {testWords(when, answer)}
              </li>
            ))}
          </ul>
        </Part>
      )}
    </>
  );
}

function Part({ title, children }: { readonly title: string; readonly children: ReactNode }): ReactNode {
  return (
    <section className="part tight">
      <h4>{title}</h4>
      {children}
    </section>
  );
}
