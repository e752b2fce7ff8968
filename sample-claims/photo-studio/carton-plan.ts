import { type Colour, hex } from './paint.js';
import type { IndicatorState } from './papers.js';
import type { Vec } from './space.js';

export const BOARD = hex('#b88c5a');
export const BOARD_INSIDE = hex('#c9a474');
export const PRINT: Colour = [52, 40, 30];
export const DARK: Colour = [38, 26, 15];
export const TAPE = hex('#cdb07a');
export interface CartonPlan {
  readonly size: Vec;
  readonly at: Vec;
  readonly turn?: number;
  readonly brand: string;
  readonly product: string;
  readonly mass: string;
  /** Crushed corner at the top of the front: which side, and how far it is pushed in, in metres. */
  readonly corner?: { readonly side: 'left' | 'right'; readonly deep: number };
  readonly dent?: boolean;
  readonly hole?: 'low' | 'high';
  readonly wet?: 'below' | 'above';
  readonly taped?: 'again';
  /** Straight knife cut along the tape. */
  readonly cut?: boolean;
  readonly label?: string;
  readonly impact?: IndicatorState;
  readonly tilt?: IndicatorState;
}
