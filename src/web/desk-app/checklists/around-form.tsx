import type { ReactNode } from 'react';
import type { Checklist, SafetyStop } from '../../../inspections/inspections.contract.js';
import { FAMILIES } from '../../../kernel/vocabulary.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { EntryButtons } from '../parts/entry-buttons.js';
import { renameStop } from './checklist-edits.js';
import { freeId, withEntry } from '../parts/document-edits.js';
import { useChecklistEditing } from './checklist-editing.js';
import { ChooseAt, IdAt, WordsAt } from '../parts/fields-at.js';
import { Both } from './item-read.js';

/** Title, kind of unit, and what is said before the first check, to be changed. */
export function HeadForm(): ReactNode {
  const { checklist, edit } = useChecklistEditing();
  return (
    <section className="sheet stack">
      <h2>Before the first check</h2>
      <WordsAt at="#/title" label="Title" />
      <ChooseAt
        at="#/family"
        label="Kind of unit"
        options={FAMILIES.map((family) => [family, sentenceCase(family)] as const)}
      />
      <h3 id="#/cautions" tabIndex={-1}>
        Cautions
      </h3>
      <ol className="plain entries">
        {checklist.cautions.map((_caution, index) => (
          // oxlint-disable-next-line react/no-array-index-key -- cautions have no id
          <li key={index} className="entry">
            <WordsAt at={`#/cautions/${index}`} label={`Caution ${index + 1}`} />
            <EntryButtons
              list="#/cautions"
              index={index}
              length={checklist.cautions.length}
              what={`caution ${index + 1}`}
              keepEmpty
            />
          </li>
        ))}
      </ol>
      <button
        type="button"
        className="little"
        onClick={() => edit((draft) => withEntry(draft, '#/cautions', { en: '' }))}
      >
        Add a caution
      </button>
    </section>
  );
}

/** What halts the work, and what the crew does then, to be changed. */
export function StopsForm({ onShow }: { readonly onShow: (stop: string) => void }): ReactNode {
  const { checklist, edit } = useChecklistEditing();
  const { stops } = checklist;
  return (
    <section className="sheet stack">
      <h2 id="#/stops" tabIndex={-1}>
        Safety stops
      </h2>
      <p className="quiet">A stop halts the work until the crew has read it. An answer of a check raises it.</p>
      <ol className="plain entries">
        {stops.map((stop, index) => (
          // oxlint-disable-next-line react/no-array-index-key -- an id changes while it is typed; the place is what lasts
          <StopEntry key={index} stop={stop} index={index} onShow={onShow} />
        ))}
      </ol>
      <button
        type="button"
        className="little"
        onClick={() =>
          edit((draft) =>
            withEntry(draft, '#/stops', {
              id: freeId(
                'new-stop',
                stops.map(({ id }) => id),
              ),
              says: { en: '' },
              do: [{ en: '' }],
            }),
          )
        }
      >
        Write a safety stop
      </button>
    </section>
  );
}

interface StopEntryProps {
  readonly stop: SafetyStop;
  readonly index: number;
  readonly onShow: (stop: string) => void;
}

function StopEntry({ stop, index, onShow }: StopEntryProps): ReactNode {
  const { checklist, edit } = useChecklistEditing();
  return (
    <li className="entry stack" id={`#/stops/${index}`} tabIndex={-1}>
      <WordsAt at={`#/stops/${index}/says`} label={`Stop ${index + 1}: what is the matter`} />
      <ol className="plain entries" id={`#/stops/${index}/do`} tabIndex={-1}>
        {stop.do.map((_words, step) => (
          // oxlint-disable-next-line react/no-array-index-key -- steps have no id
          <li key={step} className="entry">
            <WordsAt at={`#/stops/${index}/do/${step}`} label={`What to do, step ${step + 1}`} />
            <EntryButtons
              list={`#/stops/${index}/do`}
              index={step}
              length={stop.do.length}
              what={`step ${step + 1} of stop ${index + 1}`}
              keepEmpty
            />
          </li>
        ))}
      </ol>
      <div className="row top">
        <button
          type="button"
          className="little"
          onClick={() => edit((draft) => withEntry(draft, `#/stops/${index}/do`, { en: '' }))}
        >
          Add a step
        </button>
        <IdAt
          at={`#/stops/${index}/id`}
          label={`Id of stop ${index + 1}`}
          onRename={(id) => edit((draft) => renameStop(draft, index, id))}
        />
        <button
          type="button"
          className="little"
          aria-label={`Show stop ${index + 1} on the phone`}
          onClick={() => onShow(stop.id)}
        >
          On the phone
        </button>
        <EntryButtons
          list="#/stops"
          index={index}
          length={checklist.stops.length}
          what={`stop ${index + 1}`}
          keepEmpty
        />
      </div>
    </li>
  );
}

/** The same, to be read. */
export function AroundRead(props: {
  readonly checklist: Checklist;
  readonly part: 'cautions' | 'stops';
  readonly onShow: (stop: string) => void;
}): ReactNode {
  const { checklist, part, onShow } = props;
  if (part === 'cautions') {
    return (
      <section className="sheet stack">
        <h2>Before the first check</h2>
        <ol className="plain entries">
          {checklist.cautions.map((caution) => (
            <li key={caution.en}>
              <Both words={caution} />
            </li>
          ))}
        </ol>
      </section>
    );
  }
  if (checklist.stops.length === 0) return null;
  return (
    <section className="sheet stack">
      <h2>Safety stops</h2>
      <ol className="plain entries">
        {checklist.stops.map((stop) => (
          <li key={stop.id} className="entry tight">
            <Both words={stop.says} strong />
            <ol>
              {stop.do.map((step) => (
                <li key={step.en}>
                  <Both words={step} />
                </li>
              ))}
            </ol>
            <button
              type="button"
              className="little"
              aria-label={`Show ${stop.says.en} on the phone`}
              onClick={() => onShow(stop.id)}
            >
              On the phone
            </button>
          </li>
        ))}
      </ol>
    </section>
  );
}
