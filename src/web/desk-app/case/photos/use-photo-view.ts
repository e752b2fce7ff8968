import { useRef, useState, type PointerEvent } from 'react';
import { lit, moved, turned, WHOLE, zoomed, type PhotoView, type Place } from './photo-view.js';

const KEY_STEP = 0.08;

/** One view that both panes of the table share, and the hands that change it. */
export interface ViewHands {
  readonly view: PhotoView;
  readonly zoom: (factor: number, at?: Place) => void;
  readonly move: (by: Place) => void;
  readonly whole: () => void;
  readonly turn: () => void;
  readonly light: () => void;
  readonly pointer: {
    readonly onPointerDown: (event: PointerEvent<HTMLElement>) => void;
    readonly onPointerMove: (event: PointerEvent<HTMLElement>) => void;
    readonly onPointerUp: (event: PointerEvent<HTMLElement>) => void;
    readonly onPointerCancel: (event: PointerEvent<HTMLElement>) => void;
  };
  /** What keys do to the picture. */
  readonly keys: Readonly<Record<string, () => void>>;
}

/** Where a pointer is in parts of its pane. */
export function placeIn(element: Element, { clientX, clientY }: { clientX: number; clientY: number }): Place {
  const { left, top, width, height } = element.getBoundingClientRect();
  return { x: (clientX - left) / width, y: (clientY - top) / height };
}

/** Zoom, place, turn and brightness of a pair of pictures: one finger or the mouse moves, two fingers enlarge. */
export function usePhotoView(): ViewHands {
  const [view, setView] = useState<PhotoView>(WHOLE);
  const fingers = useRef(new Map<number, Place>());
  const zoom = (factor: number, at?: Place) => setView((was) => zoomed(was, factor, at));
  const move = (by: Place) => setView((was) => moved(was, by));
  const whole = () => setView(({ turn, light }) => ({ ...WHOLE, turn, light }));
  const lift = (event: PointerEvent<HTMLElement>) => void fingers.current.delete(event.pointerId);
  const step = (x: number, y: number) => () => move({ x: x * KEY_STEP, y: y * KEY_STEP });
  return {
    view,
    zoom,
    move,
    whole,
    turn: () => setView(turned),
    light: () => setView(lit),
    pointer: {
      onPointerDown: (event) => {
        event.currentTarget.setPointerCapture(event.pointerId);
        fingers.current.set(event.pointerId, placeIn(event.currentTarget, event));
      },
      onPointerMove: (event) => {
        const held = fingers.current;
        const was = held.get(event.pointerId);
        if (was === undefined) return;
        const is = placeIn(event.currentTarget, event);
        const other = [...held].find(([id]) => id !== event.pointerId)?.[1];
        held.set(event.pointerId, is);
        if (other === undefined) return move({ x: is.x - was.x, y: is.y - was.y });
        const before = Math.hypot(was.x - other.x, was.y - other.y);
        if (before > 0) zoom(Math.hypot(is.x - other.x, is.y - other.y) / before, other);
      },
      onPointerUp: lift,
      onPointerCancel: lift,
    },
    keys: {
      '+': () => zoom(1.3),
      '=': () => zoom(1.3),
      '-': () => zoom(1 / 1.3),
      '0': whole,
      ArrowLeft: step(1, 0),
      ArrowRight: step(-1, 0),
      ArrowUp: step(0, 1),
      ArrowDown: step(0, -1),
    },
  };
}
