import type { Shape } from '../domain/state-marks.js';

// Drawn without a library, so that every build of the pages uses the same shapes.

const STROKED: Readonly<Partial<Record<Shape, string>>> = {
  ring: 'M8 2.5a5.5 5.5 0 1 0 .01 0z',
  half: 'M8 2.5a5.5 5.5 0 1 0 .01 0z',
  tick: 'M2.5 8.5l3.8 4 7.2-9',
  'open square': 'M2.5 2.5h11v11h-11z',
  cross: 'M3 3l10 10M13 3L3 13',
};
const FILLED: Readonly<Partial<Record<Shape, string>>> = {
  half: 'M8 2.5a5.5 5.5 0 0 1 0 11z',
  triangle: 'M8 1.5l7 13H1z',
  octagon: 'M5 1h6l4 4v6l-4 4H5l-4-4V5z',
  diamond: 'M8 1l7 7-7 7-7-7z',
  square: 'M2 2h12v12H2z',
};

/** A shape beside a word; the word carries the meaning. */
export function Sign({ shape }: { readonly shape: Shape }) {
  return (
    <svg viewBox="0 0 16 16" aria-hidden="true" width="16" height="16">
      {STROKED[shape] === undefined ? null : (
        <path d={STROKED[shape]} fill="none" stroke="currentColor" stroke-width="2.5" />
      )}
      {FILLED[shape] === undefined ? null : <path d={FILLED[shape]} fill="currentColor" />}
    </svg>
  );
}
