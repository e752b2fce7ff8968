import { useState, type KeyboardEvent } from 'react';
import { Trouble } from '../../api/http.js';
import { useIntent } from '../../api/intent.js';
import { useMarking } from '../../api/photos.js';
import { boxMoved, boxSized, fragmentOf, stepIn, type Box, type Turn } from './photo-view.js';

const STEP = 0.02;
const ARROWS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-STEP, 0],
  ArrowRight: [STEP, 0],
  ArrowUp: [0, -STEP],
  ArrowDown: [0, STEP],
};
const FIRST: Box = { x: 0.4, y: 0.4, w: 0.2, h: 0.2 };

/** A region that is being marked, before it is kept. */
export interface Draft {
  readonly photo: string;
  readonly box: Box;
}

export interface DraftHands {
  readonly draft: Draft | undefined;
  readonly begin: (photo: string) => void;
  readonly draw: (box: Box) => void;
  readonly putAway: () => void;
  readonly keep: (says: string) => void;
  /** @returns whether the key was for the mark */
  readonly key: (event: KeyboardEvent, turn: Turn) => boolean;
  readonly keeping: boolean;
  readonly trouble: Trouble | undefined;
}

/** Marking by keyboard and pointer. What was drawn stays until the service has taken it. @param words reads what was typed beside it */
export function useDraft(words: () => string, onKept: () => void): DraftHands {
  const [draft, setDraft] = useState<Draft>();
  const { making } = useMarking();
  const keyOf = useIntent();
  const change = (next: (box: Box) => Box) =>
    setDraft((was) => (was === undefined ? was : { ...was, box: next(was.box) }));
  const putAway = (): void => {
    setDraft(undefined);
    making.reset();
  };
  const keep = (says: string): void => {
    if (draft === undefined || making.isPending) return;
    const wish = { photo: draft.photo, fragment: fragmentOf(draft.box), says };
    const done = (): void => {
      setDraft(undefined);
      onKept();
    };
    making.mutate({ ...wish, key: keyOf(wish) }, { onSuccess: done });
  };
  const key = (event: KeyboardEvent, turn: Turn): boolean => {
    if (draft === undefined || event.ctrlKey || event.altKey || event.metaKey) return false;
    const arrow = ARROWS[event.key];
    if (arrow !== undefined) change((box) => (event.shiftKey ? sized(box, arrow, turn) : shifted(box, arrow, turn)));
    else if (event.key === 'Enter') keep(words());
    else if (event.key === 'Escape') putAway();
    else return false;
    event.preventDefault();
    event.stopPropagation();
    return true;
  };
  return {
    draft,
    begin: (photo) => setDraft({ photo, box: FIRST }),
    draw: (box) => change(() => box),
    putAway,
    keep,
    key,
    keeping: making.isPending,
    trouble: making.error instanceof Trouble ? making.error : undefined,
  };
}

function shifted(box: Box, [x, y]: readonly [number, number], turn: Turn): Box {
  return boxMoved(box, stepIn(turn, { x, y }));
}

/** To the right is wider on the screen, also where the picture lies on its side. */
function sized(box: Box, [x, y]: readonly [number, number], turn: Turn): Box {
  return boxSized(box, turn % 2 === 0 ? { x, y } : { x: y, y: x });
}
