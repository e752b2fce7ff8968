import type { KeyboardEvent, ReactNode } from 'react';
import type { Checklist, ChecklistItem, ChecklistSection } from '../../../inspections/inspections.contract.js';
import type { Fault } from '../../../kernel/outcome.js';
import { Mark } from '../parts/parts.js';
import { addItem, pointerOf, type ItemPlace } from './checklist-edits.js';
import { answerKindWords, conditionWords } from './checklist-words.js';
import { freeId, withEntry, withMoved, withoutEntry } from '../parts/document-edits.js';
import { useChecklistEditing } from './checklist-editing.js';
import { faultsBelow } from '../parts/editing.js';
import { TextAt, WordsAt } from '../parts/fields-at.js';
import { ItemForm } from './item-form.js';
import { Both, ItemRead } from './item-read.js';
import { missingSpanish } from './missing-spanish.js';

/** What the rows of an outline share. */
export interface OutlineWork {
  readonly checklist: Checklist;
  readonly faults: readonly Fault[];
  readonly editable: boolean;
  /** Pointers of the checks that stand open. */
  readonly open: ReadonlySet<string>;
  readonly toggle: (at: string) => void;
  readonly show: (item: ChecklistItem) => void;
  readonly move: (place: ItemPlace, by: 1 | -1) => void;
  readonly takeOut: (place: ItemPlace) => void;
  /** Whether a check is among those that were asked for. */
  readonly fits: (item: ChecklistItem, at: string) => boolean;
}

/** Every section with its checks, in the order of the work. */
export function Outline(work: OutlineWork): ReactNode {
  const { checklist, editable } = work;
  let number = 0;
  return (
    <>
      {checklist.sections.map((section, index) => {
        const first = number + 1;
        number += section.items.length;
        // oxlint-disable-next-line react/no-array-index-key -- an id changes while it is typed; the place is what lasts
        return <Section key={index} section={section} index={index} first={first} work={work} />;
      })}
      {editable ? <AddSection /> : null}
    </>
  );
}

interface SectionProps {
  readonly section: ChecklistSection;
  readonly index: number;
  /** Number of its first check. */
  readonly first: number;
  readonly work: OutlineWork;
}

function Section({ section, index, first, work }: SectionProps): ReactNode {
  const { editable, fits } = work;
  const at = `#/sections/${index}`;
  const rows = section.items
    .map((item, i) => ({ item, place: { section: index, index: i } }))
    .filter(({ item, place }) => fits(item, pointerOf(place)));
  if (rows.length === 0 && !editable) return null;
  return (
    <section className="sheet" id={at} tabIndex={-1} aria-label={`Section: ${section.title.en}`}>
      <div className="row spread">
        <h2>
          {section.title.en === '' ? 'Section without a title' : section.title.en}
          {section.title.es === undefined ? null : (
            <span className="sub" lang="es">
              {section.title.es}
            </span>
          )}
        </h2>
      </div>
      {editable ? <SectionForm section={section} index={index} /> : null}
      <ol className="plain rows" id={`${at}/items`} tabIndex={-1}>
        {rows.map(({ item, place }) => (
          <Row key={place.index} item={item} place={place} number={first + place.index} work={work} />
        ))}
      </ol>
      {editable ? <AddCheck place={{ section: index, index: section.items.length }} work={work} /> : null}
    </section>
  );
}

function SectionForm({ section, index }: { readonly section: ChecklistSection; readonly index: number }): ReactNode {
  const { checklist, edit } = useChecklistEditing();
  const at = `#/sections/${index}`;
  return (
    <details className="act">
      <summary>Change this section</summary>
      <div className="stack">
        <WordsAt at={`${at}/title`} label="Title of the section" />
        <div className="row top">
          <TextAt at={`${at}/id`} label="Id of the section" max={80} />
          <span className="row tools">
            <button
              type="button"
              className="little"
              disabled={index === 0}
              onClick={() => edit((draft) => withMoved(draft, '#/sections', index, index - 1))}
            >
              Section up
            </button>
            <button
              type="button"
              className="little"
              disabled={index === checklist.sections.length - 1}
              onClick={() => edit((draft) => withMoved(draft, '#/sections', index, index + 1))}
            >
              Section down
            </button>
            <button
              type="button"
              className="little"
              onClick={() => edit((draft) => withoutEntry(draft, '#/sections', index, true))}
            >
              Take out the section with its {section.items.length === 1 ? 'check' : `${section.items.length} checks`}
            </button>
          </span>
        </div>
      </div>
    </details>
  );
}

function AddCheck({ place, work }: { readonly place: ItemPlace; readonly work: OutlineWork }): ReactNode {
  const { edit } = useChecklistEditing();
  return (
    <p>
      <button
        type="button"
        className="little"
        onClick={() => {
          edit((draft) => addItem(draft, place));
          work.toggle(pointerOf(place));
        }}
      >
        Add a check here
      </button>
    </p>
  );
}

function AddSection(): ReactNode {
  const { checklist, edit } = useChecklistEditing();
  return (
    <p className="after">
      <button
        type="button"
        onClick={() =>
          edit((draft) =>
            addItem(
              withEntry(draft, '#/sections', {
                id: freeId(
                  'new-section',
                  checklist.sections.map(({ id }) => id),
                ),
                title: { en: 'New section' },
                items: [],
              }),
              { section: checklist.sections.length, index: 0 },
            ),
          )
        }
      >
        Add a section
      </button>
    </p>
  );
}

interface RowProps {
  readonly item: ChecklistItem;
  readonly place: ItemPlace;
  readonly number: number;
  readonly work: OutlineWork;
}

function Row({ item, place, number, work }: RowProps): ReactNode {
  const { editable, open, toggle, show, move } = work;
  const at = pointerOf(place);
  const isOpen = open.has(at);
  const press = (event: KeyboardEvent): void => {
    if (!editable || !event.altKey || (event.key !== 'ArrowUp' && event.key !== 'ArrowDown')) return;
    event.preventDefault();
    move(place, event.key === 'ArrowUp' ? -1 : 1);
  };
  const words = `check ${number}`;
  return (
    <li id={at} tabIndex={-1} className={isOpen ? 'open' : undefined} onKeyDown={press}>
      <h3 className="n">
        <span className="away">Check </span>
        {number}
      </h3>
      <div className="tight">
        <Both words={item.ask} strong />
        <Meta item={item} at={at} work={work} />
        <div className="row tools">
          <button
            type="button"
            className="little"
            aria-expanded={isOpen}
            aria-label={`${isOpen ? 'Close' : editable ? 'Change' : 'Open'} ${words}`}
            data-open={at}
            onClick={() => toggle(at)}
          >
            {isOpen ? 'Close' : editable ? 'Change' : 'Open'}
          </button>
          <button type="button" className="little" aria-label={`Show ${words} on the phone`} onClick={() => show(item)}>
            On the phone
          </button>
          {editable ? <RowTools place={place} words={words} work={work} /> : null}
        </div>
        {isOpen ? (
          editable ? (
            <ItemForm place={place} item={item} />
          ) : (
            <ItemRead item={item} checklist={work.checklist} />
          )
        ) : null}
      </div>
    </li>
  );
}

function RowTools(props: { readonly place: ItemPlace; readonly words: string; readonly work: OutlineWork }): ReactNode {
  const { place, words, work } = props;
  return (
    <>
      <button type="button" className="little" aria-label={`Move up ${words}`} onClick={() => work.move(place, -1)}>
        ↑
      </button>
      <button type="button" className="little" aria-label={`Move down ${words}`} onClick={() => work.move(place, 1)}>
        ↓
      </button>
      <button type="button" className="little" aria-label={`Take out ${words}`} onClick={() => work.takeOut(place)}>
        Take out
      </button>
    </>
  );
}

/** How it is answered, when it is asked, and what needs attention. */
function Meta({
  item,
  at,
  work,
}: {
  readonly item: ChecklistItem;
  readonly at: string;
  readonly work: OutlineWork;
}): ReactNode {
  const { checklist, faults } = work;
  const wrong = faultsBelow(faults, at).length;
  const english = missingSpanish(item).length;
  const photos = item.photos?.length ?? 0;
  return (
    <>
      <p className="meta">
        <span>{answerKindWords(item.answer)}</span>
        {item.component === undefined ? null : <span>about the {item.component}</span>}
        {photos === 0 ? null : <span>{photos === 1 ? '1 photo' : `${photos} photos`}</span>}
        {(item.raises ?? []).length === 0 ? null : <Mark shape="octagon" tone="bad" says="Can stop the work" />}
        {wrong === 0 ? null : <Mark shape="triangle" tone="bad" says={wrong === 1 ? '1 fault' : `${wrong} faults`} />}
        {english === 0 ? null : (
          <Mark
            shape="half"
            tone="warn"
            says={english === 1 ? '1 text without Spanish' : `${english} texts without Spanish`}
          />
        )}
      </p>
      {(item.askIf ?? []).map((condition) => (
        <p className="meta" key={JSON.stringify(condition)}>
          Only if {conditionWords(condition, checklist)}
        </p>
      ))}
    </>
  );
}
