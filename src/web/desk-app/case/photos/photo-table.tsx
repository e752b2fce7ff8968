import './photos.css';
import { useEffect, useLayoutEffect, useRef, useState, type KeyboardEvent, type ReactNode } from 'react';
import type { CaseData } from '../../../case-data.js';
import { useKeys, type Keys } from '../../keys.js';
import { DraftForm } from './draft-form.js';
import { PhotoCards } from './photo-cards.js';
import { PhotoPane } from './photo-pane.js';
import { PhotoTools } from './photo-tools.js';
import { pairsOf, picturesOf, type Picture } from './pictures.js';
import { useDraft } from './use-draft.js';
import { usePhotoView } from './use-photo-view.js';

/** Places in the list of what lies left and right. */
interface Laid {
  readonly left: number;
  readonly right: number | undefined;
}

type Side = 'left' | 'right';

/** The photos of the case: two side by side under one hand, then all of them with what is known of each. */
export function PhotoTable({ view }: { readonly view: CaseData }): ReactNode {
  const pictures = picturesOf(view);
  return (
    <section className="sheet stack" id="photos">
      <h2>Photos</h2>
      {pictures.length === 0 ? (
        <p className="quiet">No photo has arrived. Ask the crew for one, or decide without.</p>
      ) : (
        <Table pictures={pictures} view={view} />
      )}
    </section>
  );
}

function Table({ pictures, view }: { readonly pictures: readonly Picture[]; readonly view: CaseData }): ReactNode {
  const [laid, setLaid] = useState<Laid>(() => firstPair(pictures));
  const [active, setActive] = useState<Side>('left');
  const { full, frame, toggle } = useFull();
  const hands = usePhotoView();
  const words = useRef<HTMLInputElement>(null);
  const panes = useRef<HTMLDivElement>(null);
  const marking = useDraft(
    () => words.current?.value.trim() ?? '',
    () => focusPane(panes.current, active),
  );
  const left = pictures[laid.left];
  const right = laid.right === undefined ? undefined : pictures[laid.right];
  const inHand = (active === 'right' ? right : undefined) ?? left;
  const lay = (side: Side, index: number) => setLaid((was) => ({ ...was, [side]: index }));
  const acts = {
    next: () => setLaid((was) => nextPair(pictures, was)),
    mark: () => {
      if (inHand === undefined || inHand.exhibit.renditions.length === 0) return;
      marking.begin(inHand.id);
      focusPane(panes.current, active);
    },
    full: toggle,
  };
  useKeys({ ...tableKeys(hands, acts), ...numberKeys(pictures, (index) => lay(active, index)) }, frame);
  const onKey = (event: KeyboardEvent): void => {
    if (marking.key(event, hands.view.turn) || event.ctrlKey || event.altKey || event.metaKey) return;
    const act = event.target === event.currentTarget ? hands.keys[event.key] : undefined;
    if (act === undefined) return;
    event.preventDefault();
    act();
  };
  const pane = (side: Side, picture: Picture | undefined): ReactNode =>
    picture === undefined ? null : (
      <PhotoPane
        picture={picture}
        side={side === 'left' ? 'Left' : 'Right'}
        hands={hands}
        active={active === side && right !== undefined}
        draft={marking.draft?.photo === picture.id && active === side ? marking.draft.box : undefined}
        onDraft={marking.draw}
        onKey={onKey}
        onActive={() => setActive(side)}
        wheel={full}
      />
    );
  return (
    <>
      <div
        ref={frame}
        className={full ? 'phototable full' : 'phototable'}
        {...(full ? { role: 'dialog', 'aria-modal': true, 'aria-label': 'Photos in the whole window' } : {})}
      >
        <PhotoTools hands={hands} acts={acts} full={full} pictures={pictures} laid={laid} lay={lay} />
        <div ref={panes} className={right === undefined ? 'panes one' : 'panes'}>
          {pane('left', left)}
          {pane('right', right)}
        </div>
        {marking.draft === undefined ? null : <DraftForm marking={marking} words={words} />}
      </div>
      <PhotoCards pictures={pictures} view={view} show={(index) => lay(active, index)} />
    </>
  );
}

interface TableActs {
  readonly next: () => void;
  readonly mark: () => void;
  readonly full: () => void;
}

function tableKeys(hands: ReturnType<typeof usePhotoView>, acts: TableActs): Keys {
  const { '+': closer, '-': further, '0': whole } = hands.keys;
  return {
    ...(closer && further && whole ? { '+': closer, '=': closer, '-': further, '0': whole } : {}),
    r: hands.turn,
    b: hands.light,
    c: acts.next,
    m: acts.mark,
    l: acts.full,
  };
}

function numberKeys(pictures: readonly Picture[], show: (index: number) => void): Keys {
  return Object.fromEntries(pictures.slice(0, 9).map((_picture, index) => [String(index + 1), () => show(index)]));
}

function firstPair(pictures: readonly Picture[]): Laid {
  const [left, right] = pairsOf(pictures)[0] ?? [0, undefined];
  return { left, right };
}

function nextPair(pictures: readonly Picture[], was: Laid): Laid {
  const pairs = pairsOf(pictures);
  const at = pairs.findIndex(([left, right]) => left === was.left && right === was.right);
  const [left, right] = pairs[(at + 1) % pairs.length] ?? [0, undefined];
  return { left, right };
}

function focusPane(panes: HTMLElement | null, side: Side): void {
  const all = panes?.querySelectorAll<HTMLElement>('.pane[tabindex]');
  all?.item(side === 'right' && all.length > 1 ? 1 : 0)?.focus();
}

/** The table over the whole window: focus stays in it, Escape leaves it, and goes back to where it was. */
function useFull() {
  const [full, setFull] = useState(false);
  const frame = useRef<HTMLDivElement>(null);
  const back = useRef<Element>(null);
  const toggle = (): void => {
    if (!full) back.current = document.activeElement;
    setFull(!full);
  };
  useLayoutEffect(() => {
    if (full) focusPane(frame.current, 'left');
    else if (back.current instanceof HTMLElement) back.current.focus();
  }, [full]);
  useEffect(() => {
    if (!full) return;
    const listen = (event: globalThis.KeyboardEvent): void => {
      if (event.key === 'Escape' && !event.defaultPrevented) setFull(false);
      if (event.key === 'Tab') keepInside(frame.current, event);
    };
    document.addEventListener('keydown', listen);
    document.documentElement.classList.add('still');
    return () => {
      document.removeEventListener('keydown', listen);
      document.documentElement.classList.remove('still');
    };
  }, [full]);
  return { full, frame, toggle };
}

function keepInside(frame: HTMLElement | null, event: globalThis.KeyboardEvent): void {
  const all = [...(frame?.querySelectorAll<HTMLElement>('button, select, input, [tabindex="0"]') ?? [])];
  const [first, last] = [all[0], all.at(-1)];
  const at = document.activeElement;
  const outside = frame?.contains(at) !== true;
  if (event.shiftKey && (at === first || outside)) last?.focus();
  else if (!event.shiftKey && (at === last || outside)) first?.focus();
  else return;
  event.preventDefault();
}
