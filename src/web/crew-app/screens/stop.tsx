import { useEffect, useRef, useState } from 'preact/hooks';
import { say, standingStop } from '../../domain/walk-view.js';
import { Sign } from '../../shared/sign.js';
import { note } from '../actions.js';
import { go, useApp } from '../app-state.js';
import { Frame, Note } from '../parts/frame.js';
import { sayer } from '../words/sayer.js';
import type { Inspection } from '../walk/inspection.js';

/** A safety stop. Nothing else is shown until both boxes are ticked; a reload comes back to it. */
export function Stop({ of }: { readonly of: Inspection }) {
  const { lang } = useApp();
  const w = sayer(lang);
  const [ticked, setTicked] = useState<readonly string[]>([]);
  const [trouble, setTrouble] = useState<'stopTick' | 'notKept' | undefined>();
  const heading = useRef<HTMLHeadingElement>(null);
  const stop = standingStop(of.walk);
  useEffect(() => {
    setTicked([]);
    setTrouble(undefined);
    heading.current?.focus();
  }, [of.id, stop?.id]);
  if (stop === undefined) return null;
  const acknowledge = (event: Event): void => {
    event.preventDefault();
    if (ticked.length < BOXES.length) setTrouble('stopTick');
    else
      note(of.visit.id, { kind: 'acknowledge', inspection: of.id, body: { stop: stop.id } }).then(
        () => go(`/crew/inspections/${of.id}`, true),
        () => setTrouble('notKept'),
      );
  };
  return (
    <Frame title={w('stop')} stop>
      <div class="stack" role="alertdialog" aria-modal="true" aria-labelledby="stop" aria-describedby="do">
        <span class="octagon">
          <Sign shape="octagon" />
        </span>
        <h1 id="stop" tabIndex={-1} ref={heading}>
          {w('stop')}. {say(stop.says, lang)}
        </h1>
        <h2>{w('stopDo')}</h2>
        <ol id="do">
          {stop.do.map((words) => (
            <li key={words.en}>{say(words, lang)}</li>
          ))}
        </ol>
        <p>{w('callOffice')}</p>
        <form class="stack" onSubmit={acknowledge} noValidate>
          {trouble === undefined ? null : (
            <Note tone="bad" alert>
              <p>{w(trouble)}</p>
            </Note>
          )}
          <div class="answers">
            {BOXES.map((word) => (
              <label class="pick" key={word}>
                <input
                  type="checkbox"
                  checked={ticked.includes(word)}
                  onChange={({ currentTarget }) =>
                    setTicked(currentTarget.checked ? [...ticked, word] : ticked.filter((each) => each !== word))
                  }
                />
                {w(word)}
              </label>
            ))}
          </div>
          <button class="stop-go big-go">{w('stopGo')}</button>
        </form>
      </div>
    </Frame>
  );
}

const BOXES = ['stopRead', 'stopDone'] as const;
