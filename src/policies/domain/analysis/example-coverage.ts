import type { DecisionCoverage, ExampleCoverage, FindingPeriod } from '../../analysis.contract.js';
import type { CompiledPolicy, PolicyExample } from '../../policies.contract.js';
import { PolicyConflict } from '../policy-conflict.js';
import { boundariesOf, boundaryKey, boundaryWords, touches, type Boundary } from './boundaries.js';
import { candidateExamples } from './candidate-examples.js';
import { dayWithin } from './claim-finder.js';
import { ColumnReader, type ColumnValues } from './column-values.js';
import type { DecisionSpace } from './decision-space.js';
import { isInPeriod, periodsOf } from './periods.js';
import { policySpaces, type TableSource } from './policy-spaces.js';

export const SIDES = ['below', 'above'] as const;

/** Tables of a policy in one period. */
export interface PeriodSpaces {
  readonly period: FindingPeriod;
  readonly spaces: ReadonlyMap<string, DecisionSpace>;
}

/** An end in the period in which it first holds, and the sides at which no example lies. */
export interface OpenBoundary {
  readonly boundary: Boundary;
  readonly period: FindingPeriod;
  readonly sides: readonly ('below' | 'above')[];
}

/**
 * Which rules and which ends of cells the examples of a policy try, in every parameter period, and examples that would try the rest.
 * @param most candidates at the most
 */
export function exampleCoverage(policy: CompiledPolicy, tables: TableSource, most = 100): ExampleCoverage {
  const { document } = policy;
  const periods = periodsOf(document).map((period) => ({
    period,
    spaces: policySpaces(document, tables, period, dayWithin(period)),
  }));
  const fired = firedRules(policy);
  const boundaries = openBoundaries(policy, periods);
  const decisions = document.decisions.flatMap(({ id, table }): DecisionCoverage[] => {
    if (!table) return [];
    const rules = [...table.rules.map((rule) => rule.id), ...(table.otherwise ? ['otherwise'] : [])];
    const neverHit = rules.filter((rule) => !fired.has(`${id}/${rule}`));
    const own = boundaries.filter(({ boundary }) => boundary.decision === id);
    const untouched = own.flatMap(({ boundary, sides }) =>
      sides.map((side) => ({
        column: boundary.column.axis.column,
        expression: boundary.column.axis.expression,
        words: boundaryWords(boundary),
        side,
      })),
    );
    const sides = own.length * 2;
    const counts = { rules: rules.length, rulesHit: rules.length - neverHit.length };
    return [{ decision: id, ...counts, neverHit, sides, sidesTouched: sides - untouched.length, untouched }];
  });
  const sum = (count: (each: DecisionCoverage) => number): number =>
    decisions.reduce((all, each) => all + count(each), 0);
  return {
    decisions,
    rulesPercent: percent(
      sum((each) => each.rulesHit),
      sum((each) => each.rules),
    ),
    boundariesPercent: percent(
      sum((each) => each.sidesTouched),
      sum((each) => each.sides),
    ),
    candidates: candidateExamples(policy, { decisions, boundaries, periods }, most),
  };
}

function percent(part: number, whole: number): number {
  return whole === 0 ? 100 : Math.floor((part * 100) / whole);
}

/** Rules that decide in some example, as `decision/rule`. */
function firedRules(policy: CompiledPolicy): Set<string> {
  const fired = policy.document.examples.flatMap((example) => evaluated(policy, example));
  return new Set(fired);
}

function evaluated(policy: CompiledPolicy, { on, given, decisions }: PolicyExample): string[] {
  try {
    return policy.evaluate(on, given, decisions).fired.map(({ decision, rule }) => `${decision}/${rule}`);
  } catch (error) {
    if (error instanceof PolicyConflict || error instanceof RangeError) return [];
    throw error;
  }
}

/** Every end once, with the sides at which no example of a period that has the end lies. */
function openBoundaries(policy: CompiledPolicy, periods: readonly PeriodSpaces[]): OpenBoundary[] {
  const reader = new ColumnReader(policy);
  const values = policy.document.examples.map(({ on, given }) => ({ on, values: reader.read(on, given) }));
  const found = new Map<string, { boundary: Boundary; period: FindingPeriod; touched: Set<string> }>();
  for (const { period, spaces } of periods) {
    const inPeriod = values.filter(({ on }) => isInPeriod(on, period));
    for (const boundary of [...spaces.values()].flatMap(boundariesOf)) {
      const key = boundaryKey(boundary);
      const known = found.get(key) ?? { boundary, period, touched: new Set<string>() };
      for (const side of SIDES) if (anyTouches(boundary, side, inPeriod)) known.touched.add(side);
      found.set(key, known);
    }
  }
  return [...found.values()].map(({ boundary, period, touched }) => ({
    boundary,
    period,
    sides: SIDES.filter((side) => !touched.has(side)),
  }));
}

function anyTouches(
  boundary: Boundary,
  side: 'below' | 'above',
  examples: readonly { readonly values: ColumnValues }[],
): boolean {
  return examples.some(({ values }) => {
    const value = values.of(boundary.column.axis.expression);
    return value !== undefined && value !== null && touches(boundary, side, value);
  });
}
