import type { Exposure } from './darkroom.js';
import { sscc } from './papers.js';
import type { Scene } from './scenes.js';

/** One photo of the set. */
export interface Shot {
  readonly file: string;
  readonly scene?: Scene;
  readonly exposure?: Exposure;
  readonly orientation?: number;
  /** Held upright: 1200 wide, 1600 high. */
  readonly portrait?: boolean;
  /** Minutes after the inspection began. */
  readonly minute?: number;
  /** Metres from the address of the visit. */
  readonly away?: number;
  /** The photo whose very bytes this one re-uses, as `slug/file`. */
  readonly sameAs?: string;
  /** Changed on a computer afterwards. */
  readonly edited?: boolean;
  /** Sent without any metadata. */
  readonly bare?: boolean;
}

export const BLURRED: Exposure = { unsharp: 7 };
export const SHAKEN: Exposure = { shake: 26 };
export const DARK: Exposure = { gain: 0.2, grain: 6, vignette: 0.6, warmth: 0.06 };
export const EVENING: Exposure = { gain: 0.86, warmth: 0.07, grain: 4 };
export const COOL: Exposure = { warmth: -0.035 };

export const OST = 'OSTRELLE SLEEPWORKS';
export const KEP = 'KEPPLIN TABLE COMPANY';
export const VAN = 'VANTERHOEK SEATING';
export const code = (n: number): string => sscc(`0950110100000${String(n).padStart(4, '0')}`);

export const corner = { corner: { side: 'right', deep: 0.15 } } as const;
