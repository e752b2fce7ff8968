import { useEffect, useRef, useState } from 'preact/hooks';
import type { AnswerValue } from '../../../inspections/inspections.contract.js';
import { useApp } from '../app-state.js';
import type { CrewWord } from '../words/english.js';
import { sayer } from '../words/sayer.js';
import { openReader, type Reader } from '../photo/read-code.js';
import { Line } from './fields.js';
import { Note } from './frame.js';

/** How often a frame is looked at, and after how long without a code something is said. */
const LOOK_MS = 250;
const HINT_MS = 6000;

/** Text from a label: by the camera where there is one, else typed. A number of another unit warns and goes on. */
export function Scan(props: {
  readonly ask: string;
  readonly value: string;
  /** The serial number that the visit brings; absent for labels that have none to compare with. */
  readonly expected: string | undefined;
  readonly onChange: (value: AnswerValue | undefined) => void;
}) {
  const { value, expected } = props;
  const { lang } = useApp();
  const w = sayer(lang);
  const [scanning, setScanning] = useState(false);
  const [trouble, setTrouble] = useState<CrewWord | undefined>();
  const other = expected !== undefined && value !== '' && plain(value) !== plain(expected);
  return (
    <div class="stack">
      {scanning ? (
        <Camera
          onRead={(text) => {
            setScanning(false);
            props.onChange(text.trim().slice(0, 200));
          }}
          onFail={() => {
            setScanning(false);
            setTrouble('scanNoCamera');
          }}
          onStop={() => setScanning(false)}
        />
      ) : (
        <button
          class="big-go"
          onClick={() => {
            setTrouble(undefined);
            setScanning(true);
          }}
        >
          {w('scanNow')}
        </button>
      )}
      {trouble === undefined ? null : (
        <Note tone="warn" alert>
          <p>{w(trouble)}</p>
        </Note>
      )}
      <Line
        id="answer"
        label={props.ask}
        quiet
        hint={w('scanHint')}
        value={value}
        max={200}
        caps
        onType={(text) => props.onChange(text.trim() === '' ? undefined : text)}
      />
      {other ? (
        <Note tone="warn" alert>
          <p>{w('scanOther', expected ?? '')}</p>
        </Note>
      ) : null}
    </div>
  );
}

/** As the checklist compares it: scanners add blanks and people type small letters. */
function plain(text: string): string {
  return text.trim().toUpperCase();
}

function Camera(props: {
  readonly onRead: (text: string) => void;
  readonly onFail: () => void;
  readonly onStop: () => void;
}) {
  const { lang } = useApp();
  const w = sayer(lang);
  const video = useRef<HTMLVideoElement>(null);
  const [slow, setSlow] = useState(false);
  useEffect(() => {
    const hint = setTimeout(() => setSlow(true), HINT_MS);
    const stop = watch(video, props.onRead, props.onFail);
    return () => {
      clearTimeout(hint);
      stop();
    };
  }, []);
  return (
    <div class="camera">
      <video ref={video} muted playsInline aria-label={w('scanAim')} />
      <p role="status">{slow ? w('scanNothing') : w('scanAim')}</p>
      <button onClick={props.onStop}>{w('scanStop')}</button>
    </div>
  );
}

/** Opens the camera and looks at its frames until a code is read. @returns what stops it */
function watch(
  video: { readonly current: HTMLVideoElement | null },
  onRead: (text: string) => void,
  onFail: () => void,
): () => void {
  const state = { stopped: false };
  let stream: MediaStream | undefined;
  const look = async (reader: Reader): Promise<void> => {
    while (!state.stopped) {
      const at = video.current;
      const text = at === null || at.videoWidth === 0 ? undefined : await reader(at).catch(() => undefined);
      if (state.stopped) return;
      if (text !== undefined) {
        onRead(text);
        return;
      }
      await new Promise((done) => setTimeout(done, LOOK_MS));
    }
  };
  const start = async (): Promise<void> => {
    stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: 'environment' } });
    if (state.stopped || video.current === null) return;
    video.current.srcObject = stream;
    await video.current.play();
    await look(await openReader());
  };
  const end = (): void => {
    state.stopped = true;
    for (const track of stream?.getTracks() ?? []) track.stop();
  };
  start().catch(() => {
    end();
    onFail();
  });
  return end;
}
