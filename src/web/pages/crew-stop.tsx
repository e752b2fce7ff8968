import type { VNode } from 'preact';
import type { SafetyStop } from '../../inspections/inspections.contract.js';
import { crewWord, type CrewWord, type Lang } from '../domain/crew-words.js';
import { say } from '../domain/walk-view.js';
import { CrewFrame } from './crew-frame.js';
import { Sign } from './parts.js';

/** A safety stop: nothing else of the inspection opens until both boxes are ticked. */
export function CrewStop(props: {
  readonly id: string;
  readonly stop: SafetyStop;
  readonly lang: Lang;
  readonly untouched: boolean;
}): VNode {
  const { id, stop, lang } = props;
  const w = (word: CrewWord) => crewWord(lang, word);
  return (
    <CrewFrame title={`${w('stop')}: ${say(stop.says, lang)}`} lang={lang} here={`/crew/inspections/${id}`} stop>
      <div class="stack" role="alertdialog" aria-labelledby="stop" aria-describedby="do">
        <Sign shape="octagon" class="octagon" />
        <h1 id="stop" tabIndex={-1} autofocus>
          {w('stop')}. {say(stop.says, lang)}
        </h1>
        <h2>{w('stopDo')}</h2>
        <ol id="do">
          {stop.do.map((words) => (
            <li>{say(words, lang)}</li>
          ))}
        </ol>
        <form method="post" action={`/crew/inspections/${id}/stops/${stop.id}`} class="stack">
          {props.untouched ? null : (
            <p class="note bad" role="alert">
              {w('stopTick')}
            </p>
          )}
          <div class="answers">
            {(['stopRead', 'stopDone'] as const).map((word) => (
              <label class="pick">
                <input type="checkbox" name={word} value="yes" required />
                {w(word)}
              </label>
            ))}
          </div>
          <button class="stop-go big-go">{w('stopGo')}</button>
        </form>
      </div>
    </CrewFrame>
  );
}
