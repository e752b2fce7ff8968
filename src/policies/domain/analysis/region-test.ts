import type { FindingPeriod, PolicyChange, RegionPart } from '../../analysis.contract.js';
import type { CompiledPolicy, Facts, PolicyDocument } from '../../policies.contract.js';
import { compilePolicy } from '../compile-policy.js';
import { PolicyConflict } from '../policy-conflict.js';
import { outcomesOn } from './decision-changes.js';
import { isInPeriod } from './periods.js';

/** A place in a decision's table: parts of which any may hold, in a period. */
export interface Region {
  readonly decision?: string;
  readonly region?: readonly RegionPart[];
  readonly period?: FindingPeriod;
}

/** Whether a claim lies in a region. @param on day whose parameters hold */
export type RegionTest = (on: string, facts: Facts) => boolean;

/** Name of the one outcome of the table that tests. */
const INSIDE = 'claim lies inside';

/**
 * Makes a test for a region. The test is itself a policy: the decisions that lead to the table, and a table with the same columns whose
 * rules are the parts of the region; so it reads claims exactly as the policy does. A claim lies inside only if everything that
 * matters is known; one with facts that the policy cannot read lies outside.
 */
export function regionTest(policy: CompiledPolicy, { decision, region, period = {} }: Region): RegionTest {
  const { document } = policy;
  const at = document.decisions.findIndex(({ id }) => id === decision);
  const columns = document.decisions[at]?.table?.columns;
  if (!region || !columns) return () => false;
  return inside(testDocument(document, at, columns, region), period);
}

/**
 * Makes a test for a change between two versions: a claim lies inside where its columns do and the two versions really come to the two
 * results, for that claim, that the change names. Columns are read as the newer version reads them.
 */
export function changeTest(was: CompiledPolicy, becomes: CompiledPolicy, change: PolicyChange): RegionTest {
  const { decision, region, period = {} } = change;
  const at = becomes.document.decisions.findIndex(({ id }) => id === decision);
  const facts = { ...was.document.facts, ...becomes.document.facts };
  const parameters = { ...was.document.parameters, ...becomes.document.parameters };
  const columns = Object.fromEntries(region.flatMap((part) => Object.keys(part)).map((reads) => [reads, reads]));
  const test = inside(testDocument({ ...becomes.document, facts, parameters }, at, columns, region), period);
  const names = Object.keys(becomes.document.decisions[at]?.gives ?? {});
  return (on, given) => {
    if (!test(on, given)) return false;
    const before = outcomesOn(was, decision, on, given, names);
    const after = outcomesOn(becomes, decision, on, given, names);
    return before !== undefined && after !== undefined && before !== after;
  };
}

function inside(document: PolicyDocument, period: FindingPeriod): RegionTest {
  const outcome = compilePolicy(document);
  if (!outcome.ok) throw new Error(`a region of ${document.id} does not compile: ${outcome.faults[0]?.detail ?? ''}`);
  const test = outcome.policy;
  const names = new Set(Object.keys(document.facts));
  return (on, facts) => {
    if (!isInPeriod(on, period)) return false;
    const readable = Object.fromEntries(Object.entries(facts).filter(([name]) => names.has(name)));
    try {
      return test.evaluate(on, readable, [INSIDE]).outcomes[INSIDE] === true;
    } catch (error) {
      if (error instanceof PolicyConflict || error instanceof RangeError) return false;
      throw error;
    }
  };
}

function testDocument(
  document: PolicyDocument,
  at: number,
  columns: Readonly<Record<string, string>>,
  region: readonly RegionPart[],
): PolicyDocument {
  const table = {
    hit: 'first' as const,
    columns,
    // oxlint-disable-next-line unicorn/no-thenable -- `then` is a key of the document format; rules are never awaited.
    rules: region.map((when, place) => ({ id: `${INSIDE} ${place + 1}`, when, then: { [INSIDE]: true } })),
    otherwise: { [INSIDE]: false },
  };
  return {
    ...document,
    decisions: [...document.decisions.slice(0, at), { id: INSIDE, gives: { [INSIDE]: { type: 'boolean' } }, table }],
    clocks: [],
    examples: [],
  };
}

/**
 * Counts for each region how many claims lie in it.
 * @param claims facts of claims with the day whose parameters hold for each; read once
 */
export function countClaims(
  policy: CompiledPolicy,
  regions: readonly Region[],
  claims: Iterable<{ readonly on: string; readonly facts: Facts }>,
): number[] {
  const tests = regions.map((region) => regionTest(policy, region));
  const counts = regions.map(() => 0);
  for (const { on, facts } of claims) {
    for (const [place, test] of tests.entries()) if (test(on, facts)) counts[place] = counts[place]! + 1;
  }
  return counts;
}
