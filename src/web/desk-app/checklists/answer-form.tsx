import type { ReactNode } from 'react';
import type { AnswerKind, ChecklistItem } from '../../../inspections/inspections.contract.js';
import { pointerOf, renameChoice, type ItemPlace } from './checklist-edits.js';
import { ANSWER_WORDS } from './checklist-words.js';
import { freeId, withEntry, withValue } from '../parts/document-edits.js';
import { EntryButtons } from '../parts/entry-buttons.js';
import { useChecklistEditing } from './checklist-editing.js';
import { ChooseAt, IdAt, NumberAt, TextAt, WordsAt } from '../parts/fields-at.js';

const BEGIN: Readonly<Record<AnswerKind['type'], AnswerKind>> = {
  'yes-no': { type: 'yes-no' },
  choice: {
    type: 'choice',
    choices: [
      { id: 'first', says: { en: '' } },
      { id: 'second', says: { en: '' } },
    ],
  },
  count: { type: 'count' },
  number: { type: 'number', unit: 'mm', min: 0, max: 100 },
  scan: { type: 'scan', of: 'serial' },
  text: { type: 'text', maxLength: 500 },
  photo: { type: 'photo' },
};

interface AnswerFormProps {
  readonly place: ItemPlace;
  readonly item: ChecklistItem;
}

/** How the crew answers: the kind, and what belongs to that kind. */
export function AnswerForm({ place, item }: AnswerFormProps): ReactNode {
  const { edit } = useChecklistEditing();
  const at = `${pointerOf(place)}/answer`;
  const { answer } = item;
  return (
    <section className="stack part">
      <h4>Answer</h4>
      <div className="field short">
        <label htmlFor={`${at}/type`}>Kind of answer</label>
        <select
          id={`${at}/type`}
          value={answer.type}
          onChange={({ currentTarget }) =>
            edit((draft) => withValue(draft, at, BEGIN[currentTarget.value as AnswerKind['type']]))
          }
        >
          {Object.entries(ANSWER_WORDS).map(([type, says]) => (
            <option key={type} value={type}>
              {says}
            </option>
          ))}
        </select>
      </div>
      {answer.type === 'choice' ? <Choices place={place} item={item} answer={answer} /> : null}
      {answer.type === 'number' ? <Numbers at={at} answer={answer} /> : null}
      {answer.type === 'scan' ? (
        <ChooseAt
          at={`${at}/of`}
          label="What is scanned"
          options={[
            ['serial', 'Serial number of the unit'],
            ['carton label', 'Label on the carton'],
          ]}
        />
      ) : null}
      {answer.type === 'text' ? <NumberAt at={`${at}/maxLength`} label="Longest, in characters" /> : null}
    </section>
  );
}

function Choices(
  props: AnswerFormProps & { readonly answer: Extract<AnswerKind, { readonly type: 'choice' }> },
): ReactNode {
  const { place, answer } = props;
  const { edit } = useChecklistEditing();
  const at = `${pointerOf(place)}/answer`;
  const list = `${at}/choices`;
  const { choices, many = false } = answer;
  return (
    <>
      <label className="pick">
        <input
          type="checkbox"
          checked={many}
          onChange={({ currentTarget }) =>
            edit((draft) => withValue(draft, `${at}/many`, currentTarget.checked ? true : undefined))
          }
        />
        Several may be ticked
      </label>
      <ol className="plain entries" id={list} tabIndex={-1}>
        {choices.map((choice, index) => (
          // oxlint-disable-next-line react/no-array-index-key -- an id changes while it is typed; the place is what lasts
          <li key={index} className="entry">
            <WordsAt at={`${list}/${index}/says`} label={`Answer ${index + 1}`} />
            <div className="row compact">
              <IdAt
                at={`${list}/${index}/id`}
                label={`Id of answer ${index + 1}`}
                onRename={(id) => edit((draft) => renameChoice(draft, place, index, id))}
              />
              <EntryButtons list={list} index={index} length={choices.length} what={`answer ${index + 1}`} keepEmpty />
            </div>
          </li>
        ))}
      </ol>
      <button
        type="button"
        className="little"
        onClick={() =>
          edit((draft) =>
            withEntry(draft, list, {
              id: freeId(
                'new-answer',
                choices.map(({ id }) => id),
              ),
              says: { en: '' },
            }),
          )
        }
      >
        Add an answer
      </button>
    </>
  );
}

function Numbers({
  at,
  answer,
}: {
  readonly at: string;
  readonly answer: Extract<AnswerKind, { readonly type: 'number' }>;
}): ReactNode {
  const { edit } = useChecklistEditing();
  return (
    <>
      <div className="row top">
        <TextAt at={`${at}/unit`} label="Unit" max={20} />
        <NumberAt at={`${at}/min`} label="Smallest" />
        <NumberAt at={`${at}/max`} label="Largest" />
      </div>
      {answer.tolerance === undefined ? (
        <button
          type="button"
          className="little"
          onClick={() => edit((draft) => withValue(draft, `${at}/tolerance`, { from: answer.min, to: answer.max }))}
        >
          Add a tolerance
        </button>
      ) : (
        <div className="row top" id={`${at}/tolerance`} tabIndex={-1}>
          <NumberAt at={`${at}/tolerance/from`} label="Right from" />
          <NumberAt at={`${at}/tolerance/to`} label="Right up to" />
          <button
            type="button"
            className="little"
            onClick={() => edit((draft) => withValue(draft, `${at}/tolerance`, undefined))}
          >
            Take out the tolerance
          </button>
        </div>
      )}
    </>
  );
}
