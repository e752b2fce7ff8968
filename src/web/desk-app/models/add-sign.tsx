import { useRef, useState, type ReactNode } from 'react';
import type { Checklist } from '../../../inspections/inspections.contract.js';
import { Choose, TextBox, TextLine } from '../parts/fields.js';
import { addObservation, readNumber } from './model-edits.js';
import { wordsOf } from './new-code.js';
import type { ModelSearch } from './model-page.js';
import type { ModelDraft } from './use-model-draft.js';

interface AddSignProps {
  readonly draft: ModelDraft;
  readonly checklist: Checklist | null;
  readonly go: (search: ModelSearch) => void;
}

/** A sign that the checklist yields and the model does not weigh yet. */
export function AddSign({ draft, checklist, go }: AddSignProps): ReactNode {
  const form = useRef<HTMLFormElement>(null);
  const [added, setAdded] = useState('');
  const free = freeSigns(checklist, new Set(draft.typed.observations.map(({ id }) => id)));
  const add = (data: FormData): void => {
    const word = wordsOf(data);
    const found = free.find(({ id }) => id === word('id'));
    const id = found?.id ?? word('id');
    draft.change(
      addObservation({
        id,
        says: word('says'),
        check: found?.ask ?? { en: word('says') },
        item: found?.item ?? word('item'),
        effortSeconds: readNumber(word('effortSeconds')),
        likelihoods: {},
        otherwise: { [word('subject')]: 0.5 },
        grounds: word('grounds'),
      }),
    );
    form.current?.reset();
    setAdded('Added. Say how likely it is under each explanation.');
    go({ sign: id, find: '' });
  };
  return (
    <details className="act">
      <summary>Add a sign</summary>
      <form
        ref={form}
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          add(new FormData(event.currentTarget));
        }}
      >
        {free.length > 0 ? (
          <Choose
            id="new-sign-id"
            name="id"
            label="What the checklist yields"
            options={free.map(({ id, item }) => [id, `${id} (${item})`] as const)}
          />
        ) : (
          <>
            <p className="small quiet">
              Every fact that the published checklist yields is weighed already. For another one change the checklist
              first; until then the checker says that no item yields it.
            </p>
            <TextLine id="new-sign-id" name="id" label="Code of the fact" required max={80} />
            <TextLine id="new-sign-item" name="item" label="Item of the checklist" required max={80} />
          </>
        )}
        <TextLine id="new-sign-says" name="says" label="The fact, as an analyst reads it" required max={400} />
        <Choose
          id="new-sign-subject"
          name="subject"
          label="What it says something about"
          options={draft.typed.subjects.map(({ id, title }) => [id, title.en] as const)}
        />
        <TextLine
          id="new-sign-effort"
          name="effortSeconds"
          label="Seconds that it takes"
          value="30"
          inputMode="numeric"
          required
          short
          max={10}
        />
        <TextBox id="new-sign-grounds" name="grounds" label="Grounds for its numbers" required rows={2} max={400} />
        <p className="row">
          <button>Add it</button>
          <span className="small" role="status">
            {added}
          </span>
        </p>
      </form>
    </details>
  );
}

interface FreeSign {
  readonly id: string;
  readonly item: string;
  readonly ask: Checklist['title'];
}

/** Facts that an item of the checklist yields and the model does not have. */
function freeSigns(checklist: Checklist | null, weighed: ReadonlySet<string>): FreeSign[] {
  const seen = new Set(weighed);
  return (checklist?.sections ?? [])
    .flatMap(({ items }) => items)
    .flatMap(({ id: item, ask, yields = [] }) =>
      yields.flatMap(({ observation }): FreeSign[] => {
        if (seen.has(observation)) return [];
        seen.add(observation);
        return [{ id: observation, item, ask }];
      }),
    );
}
