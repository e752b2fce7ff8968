import { equal, order } from '../domain/feel/compare.js';
import { Decimal, isDecimal } from '../domain/feel/decimal.js';
import type { FeelValue } from '../domain/feel/kinds.js';

/** A rule that holds, with the values of its outputs in the order of the columns. */
export type Hit = readonly FeelValue[];

/** What decides between hits: the policy, and for those by priority the declared output values, best first. */
export interface HitRules {
  readonly policy: string;
  readonly aggregation: string | undefined;
  readonly priorities: readonly (readonly FeelValue[] | undefined)[];
  /** Makes one value of the outputs of a rule. */
  readonly shape: (hit: Hit) => FeelValue;
  /** What the table gives where no rule holds. */
  readonly otherwise: FeelValue;
}

/** What a table with all values of FEEL gives for the rules that hold (OMG DMN 1.5, 8.2.8 and 8.2.11). Null on a conflict. */
export function resultOf(hits: readonly Hit[], rules: HitRules): FeelValue {
  const { policy, shape } = rules;
  const [first] = hits;
  if (policy === 'COLLECT') return collected(hits, rules);
  if (!first) return rules.otherwise;
  switch (policy) {
    case 'UNIQUE':
      return hits.length === 1 ? shape(first) : null;
    case 'ANY':
      return hits.every((hit) => equal(shape(hit), shape(first)) === true) ? shape(first) : null;
    case 'FIRST':
      return shape(first);
    case 'PRIORITY':
      return shape(ranked(hits, rules)[0] ?? first);
    case 'OUTPUT ORDER':
      return ranked(hits, rules).map(shape);
    case 'RULE ORDER':
      return hits.map(shape);
    default:
      return null;
  }
}

/** Hits by the places of their outputs in the declared values, the first column first; equal ones stay in the order of the rules. */
function ranked(hits: readonly Hit[], { priorities }: HitRules): Hit[] {
  const rank = (hit: Hit, column: number): number => {
    const at = priorities[column]?.findIndex((value) => equal(value, hit[column] ?? null) === true) ?? 0;
    return at < 0 ? Infinity : at;
  };
  return hits.toSorted((a, b) => {
    for (const column of priorities.keys()) {
      const by = rank(a, column) - rank(b, column);
      if (by !== 0 && !Number.isNaN(by)) return by;
    }
    return 0;
  });
}

function collected(hits: readonly Hit[], { aggregation, shape, otherwise }: HitRules): FeelValue {
  const values = hits.map(shape);
  if (aggregation === 'COUNT') return new Decimal(values.length);
  if (values.length === 0) return otherwise;
  switch (aggregation) {
    case 'SUM': {
      const numbers = values.filter(isDecimal);
      return numbers.length === values.length ? numbers.reduce((sum, n) => sum.plus(n)) : null;
    }
    case 'MIN':
      return extreme(values, -1);
    case 'MAX':
      return extreme(values, 1);
    default:
      return values;
  }
}

function extreme(values: readonly FeelValue[], sign: number): FeelValue {
  return values.reduce((best, value) => (order(value, best) === sign ? value : best));
}
