/** Syntax of the rule language: what the parser makes and the checker and the compiler read. */

/** Character range in the text of one cell or expression, end exclusive. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

export type ArithmeticSign = '+' | '-' | '*' | '/';
export type ComparisonSign = '<' | '<=' | '>' | '>=' | '=' | '!=';

export const FUNCTIONS = ['decimal', 'round half up', 'min', 'max', 'abs', 'floor', 'ceiling'] as const;
export type FunctionName = (typeof FUNCTIONS)[number];

export type Expression =
  | ({ readonly kind: 'number'; readonly text: string } & Span)
  | ({ readonly kind: 'text'; readonly text: string } & Span)
  | ({ readonly kind: 'boolean'; readonly value: boolean } & Span)
  | ({ readonly kind: 'date'; readonly text: string } & Span)
  | ({ readonly kind: 'null' } & Span)
  | ({ readonly kind: 'name'; readonly name: string } & Span)
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
  | ({ readonly kind: 'call'; readonly name: FunctionName; readonly args: readonly Expression[] } & Span);

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

/** Longest cell or expression, most alternatives in a cell, deepest nesting, most rules in a table. */
export const LIMITS = { characters: 2000, alternatives: 200, nesting: 100, rules: 2000 } as const;
