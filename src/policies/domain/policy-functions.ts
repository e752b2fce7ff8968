/** What kind of value a parameter of a function takes in a policy: of `same`, all values are of one kind that has an order. */
export type PolicyKind = 'number' | 'text' | 'boolean' | 'date' | 'numbers' | 'list' | 'same' | 'any';

/** How a function may be called in a policy. */
export interface PolicyFunction {
  readonly takes: readonly PolicyKind[];
  /** How many of the parameters, from the last, may be left out. */
  readonly optional?: number;
  /** The last parameter may be given again and again. */
  readonly repeats?: true;
  /** Absent: the kind of its first value. */
  readonly gives?: 'number' | 'text' | 'boolean' | 'date' | 'months';
}

const ROUNDING: PolicyFunction = { takes: ['number', 'number'], gives: 'number' };
const WHOLE: PolicyFunction = { takes: ['number', 'number'], optional: 1, gives: 'number' };
const OF_TEXT: PolicyFunction = { takes: ['text'], gives: 'text' };
const IN_TEXT: PolicyFunction = { takes: ['text', 'text'], gives: 'boolean' };
const PART_OF_TEXT: PolicyFunction = { takes: ['text', 'text'], gives: 'text' };
const OF_NUMBERS: PolicyFunction = { takes: ['numbers'], repeats: true, gives: 'number' };
const NUMBER_OF_DAY: PolicyFunction = { takes: ['date'], gives: 'number' };
const NAME_OF_DAY: PolicyFunction = { takes: ['date'], gives: 'text' };

/**
 * The functions a policy may call. All give the same for the same values, and all end soon: nothing reads a clock, none takes a
 * pattern, none makes a list that was not written out.
 */
export const POLICY_SIGNATURES: ReadonlyMap<string, PolicyFunction> = new Map([
  ['decimal', ROUNDING],
  ['round half up', ROUNDING],
  ['min', { takes: ['same'], repeats: true }],
  ['max', { takes: ['same'], repeats: true }],
  ['abs', { takes: ['number'], gives: 'number' }],
  ['floor', WHOLE],
  ['ceiling', WHOLE],
  ['round up', ROUNDING],
  ['round down', ROUNDING],
  ['round half down', ROUNDING],
  ['modulo', { takes: ['number', 'number'], gives: 'number' }],
  ['sum', OF_NUMBERS],
  ['mean', OF_NUMBERS],
  ['count', { takes: ['list'], gives: 'number' }],
  ['list contains', { takes: ['list', 'any'], gives: 'boolean' }],
  ['not', { takes: ['boolean'], gives: 'boolean' }],
  ['string length', { takes: ['text'], gives: 'number' }],
  ['upper case', OF_TEXT],
  ['lower case', OF_TEXT],
  ['substring', { takes: ['text', 'number', 'number'], optional: 1, gives: 'text' }],
  ['substring before', PART_OF_TEXT],
  ['substring after', PART_OF_TEXT],
  ['contains', IN_TEXT],
  ['starts with', IN_TEXT],
  ['ends with', IN_TEXT],
  ['date', { takes: ['number', 'number', 'number'], gives: 'date' }],
  ['duration', { takes: [], gives: 'months' }],
  ['years and months duration', { takes: ['date', 'date'], gives: 'months' }],
  ['day of week', NAME_OF_DAY],
  ['day of year', NUMBER_OF_DAY],
  ['week of year', NUMBER_OF_DAY],
  ['month of year', NAME_OF_DAY],
] satisfies readonly (readonly [string, PolicyFunction])[]);

export const POLICY_FUNCTIONS: ReadonlySet<string> = new Set(POLICY_SIGNATURES.keys());
