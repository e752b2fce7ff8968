import { useEffect, useRef, useState } from 'preact/hooks';
import { useApp } from '../app-state.js';
import { openReader, type Reader } from '../photo/read-code.js';
import { sayer } from '../words/sayer.js';

/** How often a frame is looked at, and after how long without a code something is said. */
const LOOK_MS = 250;
const HINT_MS = 6000;

/** The camera's picture, until a code is read off it. */
export function Camera(props: {
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
