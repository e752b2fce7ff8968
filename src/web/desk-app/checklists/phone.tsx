import { useEffect, useRef, useState, type ReactNode } from 'react';
import type { Checklist } from '../../../inspections/inspections.contract.js';
import type { CrewUnit } from '../../shared/crew-pack.js';
import type { PreviewPlace, PreviewShow, PreviewTold } from '../../shared/preview-message.js';
import { itemById } from './checklist-words.js';

/** A wish to see a place on the phone; `n` tells one wish from the next. */
export interface PhoneWish {
  readonly place: PreviewPlace;
  readonly n: number;
}

interface PhoneProps {
  /** Without faults; undefined where there is none to show. */
  readonly checklist: Checklist | undefined;
  readonly unit: CrewUnit;
  readonly wish: PhoneWish;
  /** The draft has faults, so that what is shown is the last state without. */
  readonly behind: boolean;
  readonly onBegin: () => void;
}

/** How long typing rests before the phone shows it. */
const REST_MS = 300;

/** The crew's own screens in a frame of a phone's size, with the checklist as it stands here. Nothing of it is kept or sent. */
export function Phone({ checklist, unit, wish, behind, onBegin }: PhoneProps): ReactNode {
  const { frame, lang, setLang, shown } = usePreview({ checklist, unit, wish });
  const item = shown === null || checklist === undefined ? undefined : itemById(checklist, shown);
  return (
    <section className="phone" aria-labelledby="phone">
      <div className="row spread">
        <h2 id="phone">As the crew sees it</h2>
        <div className="row" role="group" aria-label="Language of the preview">
          {(['en', 'es'] as const).map((each) => (
            <button
              key={each}
              type="button"
              className="little"
              aria-pressed={lang === each}
              onClick={() => setLang(each)}
            >
              {each === 'en' ? 'English' : 'Spanish'}
            </button>
          ))}
          <button type="button" className="little" onClick={onBegin}>
            Start over
          </button>
        </div>
      </div>
      <p className="small quiet">A preview with a made-up visit: nothing is kept and nothing is sent.</p>
      {behind ? (
        <p className="small warn" role="status">
          {checklist === undefined
            ? 'It has faults. Mend them, and it is shown here.'
            : 'It has faults. Shown is how it stood before them.'}
        </p>
      ) : null}
      <iframe
        ref={frame}
        src="/checklist-preview"
        title="The checklist on a crew’s phone"
        allow="camera 'none'; microphone 'none'; geolocation 'none'"
      />
      <p className="small quiet">{item === undefined ? 'On the screen: no check' : `On the screen: ${item.ask.en}`}</p>
    </section>
  );
}

/** Talks with the preview in the frame: tells it what to show, hears what it shows. */
function usePreview({ checklist, unit, wish }: Pick<PhoneProps, 'checklist' | 'unit' | 'wish'>) {
  const frame = useRef<HTMLIFrameElement>(null);
  const [ready, setReady] = useState(false);
  const [lang, setLang] = useState<'en' | 'es'>('en');
  const [shown, setShown] = useState<string | null>(null);
  const done = useRef(0);
  useEffect(() => {
    const listen = ({ origin, source, data }: MessageEvent<PreviewTold>): void => {
      if (origin !== location.origin || source !== frame.current?.contentWindow) return;
      if (data.kind === 'ready') {
        done.current = 0;
        setReady(true);
      }
      if (data.kind === 'shown') {
        setShown(data.item);
        setLang(data.lang);
      }
    };
    addEventListener('message', listen);
    return () => removeEventListener('message', listen);
  }, []);
  useEffect(() => {
    if (!ready || checklist === undefined) return;
    const show = (): void => {
      const isNew = done.current !== wish.n;
      done.current = wish.n;
      const told: PreviewShow = { kind: 'show', checklist, unit, lang, ...(isNew ? { to: wish.place } : {}) };
      frame.current?.contentWindow?.postMessage(told, location.origin);
    };
    const rest = setTimeout(show, done.current === wish.n ? REST_MS : 0);
    return () => clearTimeout(rest);
  }, [ready, checklist, unit, lang, wish]);
  return { frame, lang, setLang, shown };
}
