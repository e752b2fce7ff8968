import { useEffect, useState } from 'preact/hooks';
import {
  checkAnswer,
  nextItem,
  type AnswerValue,
  type ChecklistItem,
} from '../../../inspections/inspections.contract.js';
import { answerOf, answerWords, placeInWalk, say } from '../../domain/walk-view.js';
import { answer } from '../actions.js';
import { go, useApp } from '../app-state.js';
import { Answers, isOneTap } from '../parts/answers.js';
import { Box } from '../parts/fields.js';
import { Frame, Heading, Note, Way } from '../parts/frame.js';
import { Photos } from '../parts/photos.js';
import { sayer } from '../words/sayer.js';
import type { Inspection } from '../walk/inspection.js';

/** One check a screen. Without `wanted`, the first that has no answer; when all have one, on to sending. */
export function Check({ of, wanted }: { readonly of: Inspection; readonly wanted: string | null }) {
  const { walk, id } = of;
  const item =
    walk.asked.find((each) => each.id === wanted) ??
    (of.finished ? undefined : nextItem(walk.checklist, walk.answers, walk.unit));
  useEffect(() => {
    if (item === undefined) go(`/crew/inspections/${id}/send`, true);
    // The address names the check, so that a reload, or a page killed by the camera, comes back to it.
    else if (item.id !== wanted) go(`/crew/inspections/${id}?check=${item.id}`, true);
  }, [item, wanted]);
  return item === undefined ? null : <OneCheck of={of} item={item} key={item.id} />;
}

function OneCheck({ of, item }: { readonly of: Inspection; readonly item: ChecklistItem }) {
  const { lang } = useApp();
  const w = sayer(lang);
  const { walk, id } = of;
  const given = answerOf(walk, item.id);
  const place = placeInWalk(walk, item.id, lang);
  const [value, setValue] = useState<AnswerValue | undefined>(given?.value);
  const [note, setNote] = useState(given?.note ?? '');
  const [trouble, setTrouble] = useState<string | undefined>();
  const [kept, setKept] = useState(false);
  const keep = (chosen: AnswerValue | undefined): void => {
    if (chosen === undefined || chosen === '') {
      setTrouble(w('needAnswer'));
      return;
    }
    const words = note.trim();
    const whole = { item: item.id, value: chosen, ...(words === '' ? {} : { note: words }) };
    const [fault] = checkAnswer(walk.checklist, walk.answers, walk.unit, whole);
    if (fault !== undefined) {
      setTrouble(w('wrongAnswer', fault.detail));
      return;
    }
    setTrouble(undefined);
    setValue(chosen);
    answer(of, whole).then(
      () => setKept(true),
      () => setTrouble(w('notKept')),
    );
  };
  useEffect(() => {
    // Photos that the answer demands come first; then the next check.
    if (kept && !walk.owed.some((owed) => owed.item === item.id)) go(`/crew/inspections/${id}`, false);
  }, [kept]);
  const photos = <Photos of={of} item={item} />;
  return (
    <Frame title={say(item.ask, lang)}>
      <p class="where">
        <span>{place.section}</span>
        <span>{w('of', place.answered, place.of)}</span>
      </p>
      <progress max={place.of} value={place.answered} aria-label={w('of', place.answered, place.of)} />
      <div class="stack check">
        <Heading about={item.id}>{say(item.ask, lang)}</Heading>
        {item.help === undefined ? null : <p class="quiet">{say(item.help, lang)}</p>}
        {item.id === 'packaging-kept' ? (
          <Note tone="info" title={w('hold')}>
            <p>{w('holdWhy')}</p>
          </Note>
        ) : null}
        {trouble === undefined ? null : (
          <Note tone="bad" alert>
            <p>{trouble}</p>
          </Note>
        )}
        {of.finished ? (
          <>
            <Note tone="plainly">
              <p>{w('closedNow')}</p>
            </Note>
            {given === undefined ? null : <p>{w('answerKept', answerWords(item, given.value, lang))}</p>}
            {photos}
          </>
        ) : kept ? (
          <>
            <Note tone="info">
              <p>{w('asksPhotos')}</p>
            </Note>
            {photos}
            <Way to={`/crew/inspections/${id}`} class="button go big-go">
              {w('nextCheck')}
            </Way>
          </>
        ) : (
          <>
            {item.answer.type === 'photo' ? photos : null}
            <Answers of={of} item={item} value={value} onChange={setValue} onAnswer={keep} />
            {item.answer.type === 'photo' ? null : photos}
            <details open={note !== ''}>
              <summary>{w('note')}</summary>
              <Box id="note" label={w('noteLabel')} value={note} max={2000} onType={setNote} />
            </details>
            <div class={isOneTap(item) ? 'tray' : 'tray pair'}>
              {isOneTap(item) ? null : (
                <button
                  class="go"
                  onClick={() => keep(item.answer.type === 'photo' ? photosOf(of, item) : (value ?? undefined))}
                >
                  {w(item.answer.type === 'photo' ? 'photosDone' : 'keep')}
                </button>
              )}
              <button onClick={() => keep(null)} aria-pressed={given?.value === null}>
                {w('could')}
              </button>
            </div>
          </>
        )}
      </div>
      <nav class="ways" aria-label={w('allChecks')}>
        {place.before === undefined ? (
          <Way to={`/crew/visits/${of.visit.id}`}>{w('toVisit')}</Way>
        ) : (
          <Way to={`/crew/inspections/${id}?check=${place.before}`}>{w('back')}</Way>
        )}
        <Way to={`/crew/inspections/${id}/checks`}>{w('allChecks')}</Way>
        <Way to={`/crew/inspections/${id}/send`}>{w('toSend')}</Way>
      </nav>
    </Frame>
  );
}

/** The photos that an item is answered by; undefined where there is none yet. */
function photosOf(of: Inspection, item: ChecklistItem): readonly string[] | undefined {
  const ids = of.photos.filter((photo) => photo.item === item.id).map(({ id }) => id);
  return ids.length === 0 ? undefined : ids;
}
