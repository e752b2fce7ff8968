import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import type { Shape, StateMark, Tone } from '../../domain/state-marks.js';
import { Sign } from '../../shared/sign.js';
import { speak } from '../actions.js';
import { go, useApp } from '../app-state.js';
import { sayer } from '../words/sayer.js';
import { isHard } from '../send/drain.js';

/** A link inside the app: the page is not loaded again. */
export function Way(props: {
  readonly to: string;
  readonly class?: string;
  readonly children: ComponentChildren;
  readonly replace?: boolean;
}) {
  const follow = (event: MouseEvent): void => {
    if (event.metaKey || event.ctrlKey) return;
    event.preventDefault();
    go(props.to, props.replace);
  };
  return (
    <a href={props.to} class={props.class} onClick={follow}>
      {props.children}
    </a>
  );
}

/** A state as shape, word and colour. */
export function Mark({ shape, says, tone }: StateMark) {
  return (
    <span class={`mark ${tone}`}>
      <Sign shape={shape} />
      {says}
    </span>
  );
}

/** A set-off remark. `alert`: told at once to screen readers. */
export function Note(props: {
  readonly tone: Tone;
  readonly title?: string;
  readonly alert?: boolean;
  readonly children?: ComponentChildren;
}) {
  return (
    <div class={`note ${props.tone}`} role={props.alert === true ? 'alert' : undefined}>
      {props.title === undefined ? null : <strong>{props.title}</strong>}
      {props.children}
    </div>
  );
}

/** On the first screen the page itself is what was opened, and the focus stays where the browser put it. */
let entered = false;

/** The heading of a screen. It takes the focus when the screen changes, so that keyboards and readers begin at the top. */
export function Heading({ children, about }: { readonly children: ComponentChildren; readonly about: string }) {
  const at = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    if (entered) at.current?.focus({ preventScroll: true });
    entered = true;
  }, [about]);
  return (
    <h1 ref={at} tabIndex={-1}>
      {children}
    </h1>
  );
}

/** Whether everything is through, in one word and shape. */
export function Chip() {
  const { lang, owed, sending } = useApp();
  const w = sayer(lang);
  const things = owed.filter(({ kind }) => kind !== 'confirm' && kind !== 'again').length;
  const mark = ((): readonly [Shape, Tone, string] => {
    if (owed.some(isHard)) return ['triangle', 'warn', w('needsYou')];
    if (things === 0) return ['tick', 'ok', w('allSent')];
    return sending ? ['half', 'info', w('sendingNow', things)] : ['ring', 'plainly', w('onPhone', things)];
  })();
  return (
    <span role="status" class="chip">
      <Mark shape={mark[0]} tone={mark[1]} says={mark[2]} />
    </span>
  );
}

/** The page around every screen: where one is, whether all is sent, the other language. */
export function Frame({
  title,
  stop = false,
  children,
}: {
  title: string;
  stop?: boolean;
  children: ComponentChildren;
}) {
  const { lang, visits } = useApp();
  const w = sayer(lang);
  const other = lang === 'en' ? 'es' : 'en';
  useEffect(() => {
    document.title = `${title} · As Noted`;
    document.body.classList.toggle('stop-page', stop);
  }, [title, stop]);
  return (
    <>
      <header class="bar">
        {stop || visits.length === 0 ? (
          <span class="name">As Noted</span>
        ) : (
          <Way to="/crew" class="name">
            {w('today')}
          </Way>
        )}
        <Chip />
        <button class="lang" lang={other} onClick={() => void speak(other)}>
          {w('otherLanguage')}
        </button>
      </header>
      <main id="main">{children}</main>
    </>
  );
}
