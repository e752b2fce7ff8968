import type { VNode } from 'preact';
import type { AnswerValue, ChecklistItem, UnitInHand } from '../../inspections/inspections.contract.js';
import { crewWord, type CrewWord, type Lang } from '../domain/crew-words.js';
import { piecesField } from '../domain/read-answer.js';
import { answerOf, placeInWalk, say, type Walk } from '../domain/walk-view.js';
import { text, texts, type Form, type Trouble } from '../form-fields.js';
import { CrewFrame } from './crew-frame.js';
import { PhotoSection, type CrewPhoto } from './crew-photos.js';
import { Note, TextBox, TroubleNote } from './parts.js';

export interface CrewCheckView {
  readonly id: string;
  readonly visitId: string;
  readonly walk: Walk;
  readonly item: ChecklistItem;
  readonly lang: Lang;
  readonly now: string;
  readonly finished: boolean;
  /** The answer was just kept and asks for photos: they come first, and the answer is folded away. */
  readonly photosFirst?: boolean;
  readonly photos: readonly CrewPhoto[];
  /** What parts are called, by part number. */
  readonly partTitles: Readonly<Record<string, string>>;
  readonly trouble?: Trouble | undefined;
  readonly typed?: Form | undefined;
}

/** One check: the sentence, its help, its answers, its photos. */
export function CrewCheck(view: CrewCheckView): VNode {
  const { id, walk, item, lang } = view;
  const w = (word: CrewWord, ...values: readonly (string | number)[]) => crewWord(lang, word, ...values);
  const place = placeInWalk(walk, item.id, lang);
  return (
    <CrewFrame
      title={say(item.ask, lang)}
      lang={lang}
      here={`/crew/inspections/${id}?check=${item.id}`}
      scripts={['crew-form.js', 'crew-photos.js']}
    >
      <p class="where">
        <span>{place.section}</span>
        <span>{w('of', place.answered, place.of)}</span>
      </p>
      <svg class="progress" viewBox={`0 0 ${place.of} 1`} preserveAspectRatio="none" aria-hidden="true">
        <rect width={place.answered} height="1" />
      </svg>
      <TroubleNote trouble={view.trouble} />
      <h1 class="ask">{say(item.ask, lang)}</h1>
      {item.help === undefined ? null : <p class="quiet">{say(item.help, lang)}</p>}
      {item.id === 'packaging-kept' ? (
        <Note tone="info" title={w('hold')}>
          <p>{w('holdWhy')}</p>
        </Note>
      ) : null}
      <Body view={view} />
      <nav class="ways" aria-label={w('allChecks')}>
        {place.before === undefined ? (
          <a href={`/crew/visits/${view.visitId}`}>{w('toVisit')}</a>
        ) : (
          <a href={`/crew/inspections/${id}?check=${place.before}`}>{w('back')}</a>
        )}
        <a href={`/crew/inspections/${id}/checks`}>{w('allChecks')}</a>
        <a href={`/crew/inspections/${id}/send`}>{w('toSend')}</a>
      </nav>
    </CrewFrame>
  );
}

function Body({ view }: { readonly view: CrewCheckView }): VNode {
  const { id, walk, item, lang } = view;
  const photos = <PhotoSection id={id} walk={walk} item={item} lang={lang} photos={view.photos} />;
  if (view.finished) {
    return (
      <>
        <Note tone="plainly">
          <p>{crewWord(lang, 'closedNow')}</p>
        </Note>
        {photos}
      </>
    );
  }
  if (view.photosFirst === true) {
    return (
      <div class="stack">
        <Note tone="info">
          <p>{crewWord(lang, 'asksPhotos')}</p>
        </Note>
        {photos}
        <a class="button go big-go" href={`/crew/inspections/${id}`}>
          {crewWord(lang, 'nextCheck')}
        </a>
      </div>
    );
  }
  return item.answer.type === 'photo' ? (
    <>
      {photos}
      <AnswerForm view={view} />
    </>
  ) : (
    <>
      <AnswerForm view={view} />
      {photos}
    </>
  );
}

function AnswerForm({ view }: { readonly view: CrewCheckView }): VNode {
  const { id, walk, item, lang, typed } = view;
  const given = answerOf(walk, item.id);
  const note = typed === undefined ? (given?.note ?? '') : text(typed, 'note');
  return (
    <form method="post" action={`/crew/inspections/${id}/answers`} class="stack" data-keep>
      <input type="hidden" name="item" value={item.id} />
      <input type="hidden" name="answeredAt" value={view.now} />
      <Answers view={view} given={given?.value} />
      <details open={note !== ''}>
        <summary>{crewWord(lang, 'note')}</summary>
        <TextBox id="note" name="note" label={crewWord(lang, 'noteLabel')} value={note} trouble={view.trouble} />
      </details>
      <div class={oneTap(item) ? 'tray' : 'tray pair'}>
        {oneTap(item) ? null : (
          <button class="go">{crewWord(lang, item.answer.type === 'photo' ? 'photosDone' : 'keep')}</button>
        )}
        <button name="could-not" value="yes" formNoValidate aria-pressed={given?.value === null ? 'true' : undefined}>
          {crewWord(lang, 'could')}
        </button>
      </div>
    </form>
  );
}

/** Answers that go on with one tap, without a button to confirm. */
function oneTap({ answer }: ChecklistItem): boolean {
  return answer.type === 'yes-no' || (answer.type === 'choice' && answer.many !== true);
}

function Answers({
  view,
  given,
}: {
  readonly view: CrewCheckView;
  readonly given: AnswerValue | undefined;
}): VNode | null {
  const { item, lang, typed } = view;
  const kind = item.answer;
  const w = (word: CrewWord) => crewWord(lang, word);
  const written =
    typed === undefined
      ? typeof given === 'string' || typeof given === 'number'
        ? String(given)
        : ''
      : text(typed, 'answer');
  switch (kind.type) {
    case 'yes-no':
      return (
        <div class="answers two">
          {(['yes', 'no'] as const).map((word) => (
            <button name="answer" value={word} formNoValidate aria-pressed={given === word ? 'true' : undefined}>
              {w(word)}
            </button>
          ))}
        </div>
      );
    case 'choice':
      return kind.many === true ? (
        <ManyChoices
          choices={kind.choices}
          lang={lang}
          chosen={typed === undefined ? idsOf(given) : texts(typed, 'answer')}
          ask={say(item.ask, lang)}
        />
      ) : (
        <div class="answers">
          {kind.choices.map((choice) => (
            <button
              name="answer"
              value={choice.id}
              formNoValidate
              aria-pressed={idsOf(given).includes(choice.id) ? 'true' : undefined}
            >
              {say(choice.says, lang)}
            </button>
          ))}
        </div>
      );
    case 'count':
      return <Counts unit={view.walk.unit} view={view} given={given} />;
    case 'number':
      return (
        <div class="with-unit">
          <input
            name="answer"
            value={written}
            inputmode="decimal"
            autocomplete="off"
            aria-label={say(item.ask, lang)}
            maxLength={20}
          />
          <span>{kind.unit}</span>
        </div>
      );
    case 'scan':
      return (
        <div class="field">
          <span class="hint" id="scan-hint">
            {w('scanHint')}
          </span>
          <input
            name="answer"
            value={written}
            autocomplete="off"
            autocapitalize="characters"
            spellcheck={false}
            aria-label={say(item.ask, lang)}
            aria-describedby="scan-hint"
            maxLength={200}
          />
        </div>
      );
    case 'text':
      return (
        <textarea name="answer" rows={4} maxLength={kind.maxLength} aria-label={say(item.ask, lang)} value={written} />
      );
    case 'photo':
      return null;
  }
}

function idsOf(value: AnswerValue | undefined): readonly string[] {
  if (typeof value === 'string') return [value];
  return Array.isArray(value) ? (value as readonly string[]) : [];
}

function ManyChoices(props: {
  readonly choices: readonly { readonly id: string; readonly says: { readonly en: string; readonly es?: string } }[];
  readonly lang: Lang;
  readonly chosen: readonly string[];
  readonly ask: string;
}): VNode {
  return (
    <fieldset>
      <legend class="away">{props.ask}</legend>
      <div class="answers">
        {props.choices.map(({ id, says }) => (
          <label class="pick">
            <input type="checkbox" name="answer" value={id} checked={props.chosen.includes(id)} />
            {say(says, props.lang)}
          </label>
        ))}
      </div>
    </fieldset>
  );
}

function Counts({
  unit,
  view,
  given,
}: {
  readonly unit: UnitInHand;
  readonly view: CrewCheckView;
  readonly given: AnswerValue | undefined;
}): VNode {
  const counted =
    typeof given === 'object' && given !== null && !Array.isArray(given)
      ? (given as Readonly<Record<string, number>>)
      : {};
  return (
    <div class="parts">
      {unit.packingList.map(({ part, pieces }, index) => {
        const name = piecesField(part);
        const value = view.typed === undefined ? String(counted[part] ?? '') : text(view.typed, name);
        return (
          <div class="field">
            <label for={`part-${index}`}>
              {view.partTitles[part] ?? part}
              <span class="sub">
                <span class="nums">{part}</span> · {crewWord(view.lang, 'unitNo', pieces)}
              </span>
            </label>
            <input
              id={`part-${index}`}
              name={name}
              value={value}
              inputmode="numeric"
              autocomplete="off"
              maxLength={5}
            />
          </div>
        );
      })}
    </div>
  );
}
