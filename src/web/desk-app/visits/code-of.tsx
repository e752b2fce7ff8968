import type { ReactNode } from 'react';
import { encode } from 'uqr';

/** Modules of quiet around the code (ISO/IEC 18004: four on every side). */
const QUIET = 4;

/** An address as a QR code: dark on light in every colour scheme, as readers want it. @param says what it leads to, for those who cannot see it */
export function CodeOf({ text, says }: { readonly text: string; readonly says: string }): ReactNode {
  const { data, size } = encode(text, { ecc: 'M', border: QUIET });
  const dark = data.flatMap((row, y) => row.flatMap((on, x) => (on ? [`M${x} ${y}h1v1h-1z`] : []))).join('');
  return (
    <svg className="code" viewBox={`0 0 ${size} ${size}`} role="img" aria-label={says} shapeRendering="crispEdges">
      <rect width={size} height={size} fill="#fff" />
      <path d={dark} fill="#000" />
    </svg>
  );
}
