import type { ReactNode } from 'react';
import type { Shape, StateMark } from '../../domain/state-marks.js';

/** Outlines on a field of 16 by 16: a state is told by its word and its shape, colour comes third. */
const SHAPES: Readonly<Record<Shape, ReactNode>> = {
  ring: <circle cx="8" cy="8" r="5.5" fill="none" stroke="currentColor" strokeWidth="2.5" />,
  half: (
    <>
      <circle cx="8" cy="8" r="6" fill="none" stroke="currentColor" strokeWidth="2" />
      <path d="M8 2a6 6 0 0 1 0 12Z" fill="currentColor" />
    </>
  ),
  tick: <path d="M2 8.5l4 4L14 4" fill="none" stroke="currentColor" strokeWidth="2.8" />,
  triangle: <path d="M8 1.5L15 14H1Z" fill="currentColor" />,
  octagon: <path d="M5 1h6l4 4v6l-4 4H5l-4-4V5Z" fill="currentColor" />,
  diamond: <path d="M8 1l7 7-7 7-7-7Z" fill="currentColor" />,
  'open square': <path d="M2.5 2.5h11v11h-11Z" fill="none" stroke="currentColor" strokeWidth="2.4" />,
  square: <path d="M2 2h12v12H2Z" fill="currentColor" />,
  cross: <path d="M3 3l10 10M13 3L3 13" fill="none" stroke="currentColor" strokeWidth="2.8" />,
};

/** A state as a shape and a word. */
export function Mark({ says, shape, tone }: StateMark): ReactNode {
  return (
    <span className={`mark ${tone}`}>
      <svg viewBox="0 0 16 16" aria-hidden="true">
        {SHAPES[shape]}
      </svg>
      {says}
    </span>
  );
}

/** A shape that stands beside what it is about; its word is for readers of screens. */
export function ShapeOnly({ says, shape, tone }: StateMark): ReactNode {
  return (
    <span className={`shape ${tone}`}>
      <svg viewBox="0 0 16 16" aria-hidden="true">
        {SHAPES[shape]}
      </svg>
      <span className="away">{says}: </span>
    </span>
  );
}
