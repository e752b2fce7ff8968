import { hex } from './paint.js';
import type { Material } from './stage.js';

export const STEEL: Material = { colour: hex('#3b3d42'), gloss: 0.7, edge: hex('#8d9096') };

export const BRIGHT: Material = { colour: hex('#a9adb3'), gloss: 1 };

export const PLASTIC: Material = { colour: hex('#2b2c2f'), gloss: 0.45, edge: hex('#77797e') };

export const CORD: Material = { colour: hex('#2a2a2c') };
