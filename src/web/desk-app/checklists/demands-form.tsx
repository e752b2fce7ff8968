import type { ReactNode } from 'react';
import type { ChecklistItem } from '../../../inspections/inspections.contract.js';
import { EntryButtons } from '../parts/entry-buttons.js';
import { earlierThan, pointerOf, type ItemPlace } from './checklist-edits.js';
import { itemById } from './checklist-words.js';
import { freeId, withEntry, withValue } from '../parts/document-edits.js';
import { useChecklistEditing } from './checklist-editing.js';
import { ChooseAt, TextAt, WordsAt } from '../parts/fields-at.js';
import { firstTest, isTestable, TestForm } from './test-form.js';

interface PartProps {
  readonly place: ItemPlace;
  readonly item: ChecklistItem;
}

/** When a check is asked at all: every condition looks back at a check before it. */
export function ConditionsForm({ place, item }: PartProps): ReactNode {
  const { checklist, edit } = useChecklistEditing();
  const list = `${pointerOf(place)}/askIf`;
  const earlier = earlierThan(checklist, place).filter(({ answer }) => isTestable(answer));
  const conditions = item.askIf ?? [];
  const options = earlier.map(({ id, ask }) => [id, ask.en === '' ? id : ask.en] as const);
  const last = earlier.at(-1);
  return (
    <section className="stack part" id={list} tabIndex={-1}>
      <h4>Asked only if</h4>
      {conditions.length === 0 ? <p className="quiet">It is always asked.</p> : null}
      <ol className="plain entries">
        {conditions.map((condition, index) => (
          // oxlint-disable-next-line react/no-array-index-key -- conditions have no id of their own
          <li key={index} className="entry">
            <ChooseAt at={`${list}/${index}/item`} label={`Condition ${index + 1}: the answer to`} options={options} />
            <TestForm
              at={`${list}/${index}/test`}
              test={condition.test}
              answer={itemById(checklist, condition.item)?.answer}
              subject="That answer"
            />
            <EntryButtons list={list} index={index} length={conditions.length} what={`condition ${index + 1}`} />
          </li>
        ))}
      </ol>
      {last === undefined ? (
        <p className="quiet">No check before this one has an answer that can be tested.</p>
      ) : (
        <button
          type="button"
          className="little"
          onClick={() => edit((draft) => withEntry(draft, list, { item: last.id, test: firstTest(last.answer) }))}
        >
          Add a condition
        </button>
      )}
    </section>
  );
}

/** The photos that an answer demands. */
export function PhotosForm({ place, item }: PartProps): ReactNode {
  const { edit } = useChecklistEditing();
  const list = `${pointerOf(place)}/photos`;
  const photos = item.photos ?? [];
  return (
    <section className="stack part" id={list} tabIndex={-1}>
      <h4>Photos it asks for</h4>
      <ol className="plain entries">
        {photos.map((photo, index) => {
          const at = `${list}/${index}`;
          return (
            // oxlint-disable-next-line react/no-array-index-key -- an id changes while it is typed; the place is what lasts
            <li key={index} className="entry">
              <WordsAt at={`${at}/says`} label={`Photo ${index + 1}`} />
              <div className="row top">
                <TextAt at={`${at}/id`} label="Id, such as wide or close" max={80} />
                {isTestable(item.answer) ? (
                  <label className="pick">
                    <input
                      type="checkbox"
                      checked={photo.when !== undefined}
                      onChange={({ currentTarget }) =>
                        edit((draft) =>
                          withValue(draft, `${at}/when`, currentTarget.checked ? firstTest(item.answer) : undefined),
                        )
                      }
                    />
                    Only after some answers
                  </label>
                ) : null}
                <EntryButtons list={list} index={index} length={photos.length} what={`photo ${index + 1}`} />
              </div>
              {photo.when === undefined ? null : (
                <TestForm at={`${at}/when`} test={photo.when} answer={item.answer} subject="Asked for if the answer" />
              )}
            </li>
          );
        })}
      </ol>
      <button
        type="button"
        className="little"
        onClick={() =>
          edit((draft) =>
            withEntry(draft, list, {
              id: freeId(
                photos.length === 0 ? 'wide' : 'close',
                photos.map(({ id }) => id),
              ),
              says: { en: '' },
            }),
          )
        }
      >
        Ask for a photo
      </button>
    </section>
  );
}

/** What is said of the unit by an answer, in codes that an evidence model weighs. */
export function YieldsForm({ place, item }: PartProps): ReactNode {
  const { edit } = useChecklistEditing();
  const list = `${pointerOf(place)}/yields`;
  const yields = item.yields ?? [];
  if (!isTestable(item.answer) && yields.length === 0) return null;
  return (
    <section className="stack part" id={list} tabIndex={-1}>
      <h4>Observations it yields</h4>
      <ol className="plain entries">
        {yields.map((each, index) => {
          const at = `${list}/${index}`;
          return (
            // oxlint-disable-next-line react/no-array-index-key -- observations occur more than once
            <li key={index} className="entry">
              <TestForm at={`${at}/when`} test={each.when} answer={item.answer} subject="If the answer" />
              <div className="row top">
                <TextAt at={`${at}/observation`} label="Observation" max={80} />
                <ChooseAt
                  at={`${at}/sighting`}
                  label="is"
                  options={[
                    ['present', 'present'],
                    ['absent', 'absent'],
                  ]}
                />
                <EntryButtons list={list} index={index} length={yields.length} what={`observation ${index + 1}`} />
              </div>
            </li>
          );
        })}
      </ol>
      <button
        type="button"
        className="little"
        onClick={() =>
          edit((draft) =>
            withEntry(draft, list, {
              when: firstTest(item.answer),
              observation: yields.at(-1)?.observation ?? item.id,
              sighting: yields.length % 2 === 0 ? 'present' : 'absent',
            }),
          )
        }
      >
        Add an observation
      </button>
    </section>
  );
}

/** The safety stops that an answer raises. */
export function RaisesForm({ place, item }: PartProps): ReactNode {
  const { checklist, edit } = useChecklistEditing();
  const list = `${pointerOf(place)}/raises`;
  const raises = item.raises ?? [];
  const first = checklist.stops[0];
  if (!isTestable(item.answer) && raises.length === 0) return null;
  return (
    <section className="stack part" id={list} tabIndex={-1}>
      <h4>Safety stops it raises</h4>
      <ol className="plain entries">
        {raises.map((each, index) => {
          const at = `${list}/${index}`;
          return (
            // oxlint-disable-next-line react/no-array-index-key -- a stop may be raised by several answers
            <li key={index} className="entry">
              <TestForm at={`${at}/when`} test={each.when} answer={item.answer} subject="If the answer" />
              <ChooseAt
                at={`${at}/stop`}
                label="everything stops:"
                options={checklist.stops.map(({ id, says }) => [id, says.en === '' ? id : says.en] as const)}
              />
              <EntryButtons list={list} index={index} length={raises.length} what={`stop ${index + 1}`} />
            </li>
          );
        })}
      </ol>
      {first === undefined ? (
        <p className="quiet">Write a safety stop first, at the end of the page.</p>
      ) : (
        <button
          type="button"
          className="little"
          onClick={() => edit((draft) => withEntry(draft, list, { when: firstTest(item.answer), stop: first.id }))}
        >
          Raise a safety stop
        </button>
      )}
    </section>
  );
}
