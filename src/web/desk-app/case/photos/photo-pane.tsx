import { useEffect, useRef, type CSSProperties, type KeyboardEvent, type PointerEvent, type ReactNode } from 'react';
import { useMarks } from '../../api/photos.js';
import { boxBetween, unturned, type Box, type Place } from './photo-view.js';
import type { Picture } from './pictures.js';
import { placeIn, type ViewHands } from './use-photo-view.js';

const LIGHTS = [undefined, 'brightness(1.5)', 'brightness(2.2)'] as const;

interface PaneProps {
  readonly picture: Picture;
  /** "Left" or "Right". */
  readonly side: string;
  readonly hands: ViewHands;
  readonly active: boolean;
  /** The region that is being marked in this picture. */
  readonly draft: Box | undefined;
  readonly onDraft: (box: Box) => void;
  readonly onKey: (event: KeyboardEvent) => void;
  readonly onActive: () => void;
  /** Whether the wheel enlarges although the pane is not in hand. */
  readonly wheel: boolean;
}

/** One picture of the pair, with its marks. What is done to one is done to both. */
export function PhotoPane(props: PaneProps): ReactNode {
  const { picture, side, hands, active, draft, onKey, onActive } = props;
  const pane = useRef<HTMLDivElement>(null);
  const shown = useRef<HTMLDivElement>(null);
  useWheel(pane, hands.zoom, props.wheel);
  const drawing = useDrawing({ draft, onDraft: props.onDraft, turn: hands.view.turn, shown });
  const largest = picture.exhibit.renditions.toSorted((a, b) => a.size - b.size).at(-1);
  const says = `${side}: ${picture.n}. ${picture.about} ${picture.shows}${picture.earlier === undefined ? '' : `, from claim ${picture.earlier}`}`;
  if (largest === undefined) {
    return (
      <div className="pane nothing">
        <p>
          <strong>Photo {picture.n} cannot be shown.</strong> {picture.exhibit.row.failure ?? STILL_MADE}
        </p>
      </div>
    );
  }
  const { k, x, y, turn, light } = hands.view;
  const size: CSSProperties & Record<'--r', number> = { '--r': largest.width / largest.height };
  return (
    <div
      ref={pane}
      className={k > 1 || draft !== undefined ? 'pane close' : 'pane'}
      role="group"
      aria-label={says}
      aria-current={active ? 'true' : undefined}
      // A picture is worked on by keys and pointer; there is no element of that kind.
      tabIndex={0}
      onFocus={onActive}
      onKeyDown={onKey}
      {...(draft === undefined ? hands.pointer : drawing)}
    >
      <div className="lies" style={{ transform: `translate(${x * 100}%, ${y * 100}%) scale(${k})` }}>
        <div ref={shown} className="picture" data-turn={turn} style={size}>
          <img
            src={`/v1/photos/${picture.id}/renditions/${largest.size}`}
            alt={`${picture.about} ${picture.shows}`}
            width={largest.width}
            height={largest.height}
            draggable={false}
            style={{ filter: LIGHTS[light] }}
          />
          <Marks photo={picture.id} draft={draft} />
        </div>
      </div>
      <span className="cap" aria-hidden="true">
        {picture.earlier === undefined ? picture.n : `${picture.n} · claim ${picture.earlier}`}
      </span>
    </div>
  );
}

const STILL_MADE = 'The picture is still being made; it appears by itself in a moment.';

/** Regions over the picture: light and dark lines together, so that they show on any ground. */
function Marks({ photo, draft }: { readonly photo: string; readonly draft: Box | undefined }): ReactNode {
  const marks = (useMarks(photo).data ?? []).filter(({ withdrawnAt }) => withdrawnAt === undefined);
  return (
    <>
      <svg viewBox="0 0 1 1" preserveAspectRatio="none" aria-hidden="true">
        {marks.map(({ id, polygon }) => (
          <g key={id}>
            <polygon className="under" points={polygon.map((corner) => corner.join(',')).join(' ')} />
            <polygon points={polygon.map((corner) => corner.join(',')).join(' ')} />
          </g>
        ))}
        {draft === undefined ? null : (
          <g className="draft">
            <rect className="under" x={draft.x} y={draft.y} width={draft.w} height={draft.h} />
            <rect x={draft.x} y={draft.y} width={draft.w} height={draft.h} />
          </g>
        )}
      </svg>
      {marks.map(({ id, polygon }, index) => (
        <span
          key={id}
          className="tag"
          aria-hidden="true"
          style={{ left: `${least(polygon, 0) * 100}%`, top: `${least(polygon, 1) * 100}%` }}
        >
          {index + 1}
        </span>
      ))}
    </>
  );
}

function least(polygon: readonly (readonly [number, number])[], axis: 0 | 1): number {
  return Math.min(...polygon.map((corner) => corner[axis]));
}

/**
 * The wheel enlarges while the pane is in hand, or with Ctrl, as trackpads send two fingers; else the page scrolls on as everywhere.
 * React hears wheels only where it can no longer keep the page still.
 */
function useWheel(pane: { readonly current: HTMLElement | null }, zoom: ViewHands['zoom'], always: boolean): void {
  const latest = useRef(zoom);
  latest.current = zoom;
  useEffect(() => {
    const element = pane.current;
    const turnWheel = (event: WheelEvent): void => {
      if (element === null || !(always || event.ctrlKey || element.contains(document.activeElement))) return;
      event.preventDefault();
      latest.current(event.deltaY < 0 ? 1.15 : 1 / 1.15, placeIn(element, event));
    };
    element?.addEventListener('wheel', turnWheel, { passive: false });
    return () => element?.removeEventListener('wheel', turnWheel);
  }, [pane, always]);
}

interface Drawing {
  readonly draft: Box | undefined;
  readonly onDraft: (box: Box) => void;
  readonly turn: Parameters<typeof unturned>[0];
  readonly shown: { readonly current: HTMLElement | null };
}

/** While a region is being marked, the pointer draws it. */
function useDrawing({ onDraft, turn, shown }: Drawing): ViewHands['pointer'] {
  const from = useRef<Place>(undefined);
  const at = (event: PointerEvent): Place =>
    shown.current === null ? { x: 0, y: 0 } : unturned(turn, placeIn(shown.current, event));
  const lift = (): void => void (from.current = undefined);
  return {
    onPointerDown: (event) => {
      event.currentTarget.setPointerCapture(event.pointerId);
      from.current = at(event);
    },
    onPointerMove: (event) => {
      if (from.current !== undefined) onDraft(boxBetween(from.current, at(event)));
    },
    onPointerUp: lift,
    onPointerCancel: lift,
  };
}
