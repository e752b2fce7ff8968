import type { Shot } from './shot.js';
import { BEDS_SHOTS } from './shots-of-beds.js';
import { CHAIRS_SHOTS } from './shots-of-chairs.js';
import { DESKS_SHOTS } from './shots-of-desks.js';

/** Every photo by claim. */
export const SHOTS: Readonly<Record<string, readonly Shot[]>> = { ...BEDS_SHOTS, ...DESKS_SHOTS, ...CHAIRS_SHOTS };
