import type { Builtin } from './builtin.js';
import { LIST_FUNCTIONS } from './list-functions.js';
import { NUMBER_FUNCTIONS } from './number-functions.js';
import { RANGE_FUNCTIONS } from './range-functions.js';
import { TEMPORAL_FUNCTIONS } from './temporal-functions.js';
import { TEXT_FUNCTIONS } from './text-functions.js';

/** The built-in functions by name. All are pure: those that read a clock are given by whoever runs the wide dialect. */
export const BUILTINS: ReadonlyMap<string, Builtin> = new Map(
  [NUMBER_FUNCTIONS, TEXT_FUNCTIONS, LIST_FUNCTIONS, TEMPORAL_FUNCTIONS, RANGE_FUNCTIONS]
    .flat()
    .map((builtin) => [builtin.name, builtin]),
);

export const BUILTIN_NAMES: ReadonlySet<string> = new Set(BUILTINS.keys());
