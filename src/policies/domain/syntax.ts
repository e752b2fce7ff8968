import type { ArithmeticSign } from './feel/arithmetic.js';
import type { ComparisonSign } from './feel/compare.js';

/** Syntax of the rule language: what the parser makes and the checker and the compiler read. */

/** Character range in the text of one cell or expression, end exclusive. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

export type { ArithmeticSign, ComparisonSign };

/** Functions whose names no fact, parameter or outcome may have. */
export const FUNCTIONS = ['decimal', 'round half up', 'min', 'max', 'abs', 'floor', 'ceiling'] as const;

/** `name in source`, or `name in from..to`, of a loop. */
export interface Iteration {
  readonly name: string;
  readonly source: Expression;
  /** Last number of a loop that counts from `source`. */
  readonly to?: Expression;
}

/** A parameter of a function, with the name of its type where one is written. */
export interface FunctionParameter {
  readonly name: string;
  readonly type?: TypeName;
}

/** A type as it is named in an expression: a plain name, or one with types inside. */
export interface TypeName {
  readonly name: string;
  readonly of?: readonly TypeName[];
  readonly members?: readonly { readonly name: string; readonly type: TypeName }[];
}

/** What both dialects have. */
type Plain =
  | ({ readonly kind: 'number'; readonly text: string } & Span)
  | ({ readonly kind: 'text'; readonly text: string } & Span)
  | ({ readonly kind: 'boolean'; readonly value: boolean } & Span)
  | ({ readonly kind: 'date'; readonly text: string } & Span)
  /** A duration of either kind, or in the wide dialect any text after @. */
  | ({ readonly kind: 'duration' | 'temporal'; readonly text: string } & Span)
  | ({ readonly kind: 'null' } & Span)
  | ({ readonly kind: 'name'; readonly name: string } & Span)
  /** A name that the expression itself gives a meaning: of a loop, a parameter or an entry before. */
  | ({ readonly kind: 'local'; readonly name: string } & Span)
  /** `?`, the value of the cell's own column. */
  | ({ readonly kind: 'column value' } & Span)
  | ({ readonly kind: 'negative'; readonly of: Expression } & Span)
  | ({
      readonly kind: 'arithmetic';
      readonly sign: ArithmeticSign;
      readonly left: Expression;
      readonly right: Expression;
    } & Span)
  | ({
      readonly kind: 'comparison';
      readonly sign: ComparisonSign;
      readonly left: Expression;
      readonly right: Expression;
    } & Span)
  | ({ readonly kind: 'and' | 'or'; readonly left: Expression; readonly right: Expression } & Span)
  | ({
      readonly kind: 'if';
      readonly condition: Expression;
      readonly whenTrue: Expression;
      readonly whenFalse: Expression;
    } & Span)
  | ({ readonly kind: 'list'; readonly items: readonly Expression[] } & Span)
  | ({ readonly kind: 'path'; readonly of: Expression; readonly name: string } & Span)
  | ({
      readonly kind: 'between';
      readonly value: Expression;
      readonly low: Expression;
      readonly high: Expression;
    } & Span)
  | ({ readonly kind: 'in'; readonly value: Expression; readonly tests: readonly CellTest[] } & Span)
  | ({
      readonly kind: 'some' | 'every';
      readonly over: readonly Iteration[];
      readonly satisfies: Expression;
    } & Span)
  /** Call of a built-in function by its name; `names` where the values are given by name. */
  | ({
      readonly kind: 'call';
      readonly name: string;
      readonly args: readonly Expression[];
      readonly names?: readonly string[];
    } & Span);

/** What only the wide dialect has. */
type Wide =
  /** A built-in function named without a call. */
  | ({ readonly kind: 'builtin'; readonly name: string } & Span)
  | ({
      readonly kind: 'context';
      readonly entries: readonly { readonly name: string; readonly value: Expression }[];
    } & Span)
  | ({
      readonly kind: 'range';
      readonly low: Expression;
      readonly high: Expression;
      readonly lowOpen: boolean;
      readonly highOpen: boolean;
    } & Span)
  | ({ readonly kind: 'half range'; readonly sign: ComparisonSign; readonly value: Expression } & Span)
  | ({ readonly kind: 'filter'; readonly of: Expression; readonly by: Expression } & Span)
  | ({ readonly kind: 'for'; readonly over: readonly Iteration[]; readonly result: Expression } & Span)
  | ({
      readonly kind: 'function';
      readonly parameters: readonly FunctionParameter[];
      /** Undefined for a function in another language, which is never run. */
      readonly body: Expression | undefined;
    } & Span)
  | ({
      readonly kind: 'invocation';
      readonly callee: Expression;
      readonly args: readonly Expression[];
      readonly names?: readonly string[];
    } & Span)
  | ({ readonly kind: 'instance of'; readonly value: Expression; readonly type: TypeName } & Span);

export type Expression = Plain | Wide;

/** One alternative of a cell. */
export type CellTest =
  | ({ readonly kind: 'equals'; readonly value: Expression } & Span)
  | ({ readonly kind: 'compare'; readonly sign: Exclude<ComparisonSign, '='>; readonly value: Expression } & Span)
  | ({
      readonly kind: 'interval';
      readonly low: Expression;
      readonly high: Expression;
      readonly lowOpen: boolean;
      readonly highOpen: boolean;
    } & Span)
  /** A condition that names `?` itself. */
  | ({ readonly kind: 'condition'; readonly value: Expression } & Span);

/** A whole cell: any value, or alternatives joined by "or", perhaps negated as a whole. */
export type Cell =
  { readonly kind: 'any' } | { readonly kind: 'tests'; readonly negated: boolean; readonly tests: readonly CellTest[] };

/** A fault at a place in a cell or expression; `detail` is a sentence for the person who wrote it. */
export class SyntaxFault extends Error {
  constructor(
    readonly from: number,
    readonly to: number,
    readonly detail: string,
  ) {
    super(detail);
  }
}

/**
 * Longest cell or expression, most alternatives in a cell or items in a list, deepest nesting, most rules in a table, most turns
 * of all loops in one evaluation of one cell or expression.
 */
export const LIMITS = { characters: 2000, alternatives: 200, nesting: 100, rules: 2000, turns: 10_000 } as const;
