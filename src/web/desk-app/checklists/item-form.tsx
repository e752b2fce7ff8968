import type { ReactNode } from 'react';
import type { ChecklistItem } from '../../../inspections/inspections.contract.js';
import { COMPONENTS } from '../../../kernel/vocabulary.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { AnswerForm } from './answer-form.js';
import { pointerOf, renameItem, type ItemPlace } from './checklist-edits.js';
import { ConditionsForm, PhotosForm, RaisesForm, YieldsForm } from './demands-form.js';
import { useChecklistEditing } from './checklist-editing.js';
import { ChooseAt, IdAt, WordsAt } from '../parts/fields-at.js';

/** Everything about one check, to be changed. */
export function ItemForm({ place, item }: { readonly place: ItemPlace; readonly item: ChecklistItem }): ReactNode {
  const { edit } = useChecklistEditing();
  const at = pointerOf(place);
  return (
    <div className="stack form">
      <WordsAt at={`${at}/ask`} label="What the crew reads" />
      <WordsAt at={`${at}/help`} label="Help below it" optional />
      <div className="row top">
        <ChooseAt
          at={`${at}/component`}
          label="About the"
          none="Nothing in particular"
          options={COMPONENTS.map((component) => [component, sentenceCase(component)] as const)}
        />
        <IdAt
          at={`${at}/id`}
          label="Id of the check"
          hint="Conditions follow a new id. Evidence models rest on the observations, not on this."
          onRename={(id) => edit((draft) => renameItem(draft, place, id))}
        />
      </div>
      <AnswerForm place={place} item={item} />
      <ConditionsForm place={place} item={item} />
      <PhotosForm place={place} item={item} />
      <RaisesForm place={place} item={item} />
      <YieldsForm place={place} item={item} />
    </div>
  );
}
