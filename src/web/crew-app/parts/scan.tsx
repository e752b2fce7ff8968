import { useState } from 'preact/hooks';
import type { AnswerValue } from '../../../inspections/inspections.contract.js';
import { useApp } from '../app-state.js';
import type { CrewWord } from '../words/english.js';
import { sayer } from '../words/sayer.js';
import { Line } from './fields.js';
import { Note } from './frame.js';

/** The camera's part is fetched when somebody scans, and kept for work without a signal like everything else. */
type CameraPart = typeof import('./camera.js');

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
  const [camera, setCamera] = useState<CameraPart | undefined>();
  const [trouble, setTrouble] = useState<CrewWord | undefined>();
  const other = expected !== undefined && value !== '' && plain(value) !== plain(expected);
  return (
    <div class="stack">
      {camera !== undefined ? (
        <camera.Camera
          onRead={(text) => {
            setCamera(undefined);
            props.onChange(text.trim().slice(0, 200));
          }}
          onFail={() => {
            setCamera(undefined);
            setTrouble('scanNoCamera');
          }}
          onStop={() => setCamera(undefined)}
        />
      ) : (
        <button
          class="big-go"
          onClick={() => {
            setTrouble(undefined);
            import('./camera.js').then(setCamera, () => setTrouble('scanNoCamera'));
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
