import type { DecisionCoverage } from '../../analysis.contract.js';
import type { CompiledPolicy, PolicyExample } from '../../policies.contract.js';
import { sameValue, type Known } from '../values.js';
import { edgeValue, type Boundary } from './boundaries.js';
import { ClaimFinder, wantedIn, type FoundClaim, type Wanted } from './claim-finder.js';
import { ColumnReader } from './column-values.js';
import { Budget, TooLarge, uncovered } from './cover.js';
import type { DecisionSpace } from './decision-space.js';
import type { OpenBoundary, PeriodSpaces } from './example-coverage.js';
import { ruleBoxes } from './outcome-table.js';
import type { Box } from './space.js';

/** What is not tried yet. */
export interface Untried {
  readonly decisions: readonly DecisionCoverage[];
  readonly boundaries: readonly OpenBoundary[];
  readonly periods: readonly PeriodSpaces[];
}

/** Steps for cutting one rule free of the stronger ones. */
const STEPS = 20_000;

/** Examples for rules that never decide and ends that are never touched. What they expect is what the policy says today. */
export function candidateExamples(policy: CompiledPolicy, untried: Untried, most: number): PolicyExample[] {
  const finders = new Map(
    untried.periods.map((each) => [each, new ClaimFinder(policy, each.spaces, each.period)] as const),
  );
  const found: PolicyExample[] = [];
  const taken = new Set(policy.document.examples.map(({ id }) => id));
  const add = (name: string, decision: string, claim: FoundClaim | undefined): void => {
    const known =
      claim && found.some(({ on, given }) => on === claim.on && JSON.stringify(given) === JSON.stringify(claim.given));
    if (!claim || known) return;
    let id = name;
    for (let copy = 2; taken.has(id); copy += 1) id = `${name} ${copy}`;
    taken.add(id);
    found.push({
      id,
      on: claim.on,
      decisions: [decision],
      given: claim.given,
      expect: expectedOf(policy, decision, claim),
    });
  };
  for (const { decision, neverHit } of untried.decisions) {
    for (const rule of neverHit) {
      if (found.length >= most) return found;
      add(`${decision} ${rule}`, decision, claimForRule(finders, decision, rule));
    }
  }
  const reader = new ColumnReader(policy);
  for (const { boundary, period, sides } of untried.boundaries) {
    const [each, finder] = [...finders].find(([one]) => one.period === period) ?? [];
    if (!each || !finder) continue;
    for (const side of sides) {
      if (found.length >= most) return found;
      const claim = claimAtBoundary({ finder, reader, space: each.spaces.get(boundary.decision) }, boundary, side);
      add(`${boundary.decision} ${boundary.column.axis.column} ${side} ${boundary.below}`, boundary.decision, claim);
    }
  }
  return found;
}

/** What the policy says today. */
function expectedOf(policy: CompiledPolicy, decision: string, { on, given }: FoundClaim): PolicyExample['expect'] {
  const { outcomes, noRule } = policy.evaluate(on, given, [decision]);
  const names = Object.keys(policy.document.decisions.find(({ id }) => id === decision)?.gives ?? {});
  const own = Object.entries(outcomes).filter(([name]) => names.includes(name));
  return own.length === 0 ? { 'no rule': noRule } : Object.fromEntries(own);
}

function claimForRule(
  finders: ReadonlyMap<PeriodSpaces, ClaimFinder>,
  decision: string,
  rule: string,
): FoundClaim | undefined {
  // The newest period first: examples are about the policy as it is going to be used.
  for (const [{ spaces }, finder] of [...finders].toReversed()) {
    const space = spaces.get(decision);
    for (const box of space ? boxesOfRule(space, rule) : []) {
      const claim = finder.find(
        decision,
        wantedIn(space, box),
        (tried) =>
          'evaluation' in tried &&
          tried.evaluation.fired.some((fired) => fired.decision === decision && fired.rule === rule),
      );
      if (typeof claim !== 'string') return claim;
    }
  }
  return undefined;
}

/** Where a rule decides: its boxes less those of stronger rules; for `otherwise` what no rule has. */
function boxesOfRule({ geometry, domain }: DecisionSpace, id: string): Box[] {
  const place = geometry.rules.findIndex((rule) => rule.id === id);
  const own = place === -1 ? [domain] : geometry.rules[place]!.boxes;
  const stronger = ruleBoxes(geometry).filter(({ rule }) => {
    if (place === -1) return true;
    if (geometry.exceptionTo[rule]!.includes(place)) return true;
    return geometry.choice === 'first' && geometry.rank[rule]! < geometry.rank[place]!;
  });
  try {
    const budget = new Budget(STEPS);
    return own.flatMap((box) => {
      const within = geometry.space.common(box, domain);
      return within ? uncovered(geometry.space, within, stronger, budget, 12).boxes : [];
    });
  } catch (error) {
    if (!(error instanceof TooLarge)) throw error;
    return [...own];
  }
}

interface Place {
  readonly finder: ClaimFinder;
  readonly reader: ColumnReader;
  readonly space: DecisionSpace | undefined;
}

/** A claim directly at an end, in a place where some rule has that end. */
function claimAtBoundary(
  { finder, reader, space }: Place,
  boundary: Boundary,
  side: 'below' | 'above',
): FoundClaim | undefined {
  if (!space) return undefined;
  const { column, decision, below } = boundary;
  const axis = space.columns.findIndex((each) => each.axis.column === column.axis.column);
  const atom = side === 'below' ? below : below + 1;
  const edge = edgeValue(boundary, side);
  const at = edge === undefined ? column : edgeColumn(boundary, atom, edge);
  for (const { box } of ruleBoxes(space.geometry).filter(({ box: each }) => endsAt(space, each, axis, below))) {
    const rest: Wanted[] = wantedIn(space, box).filter((wanted) => wanted.column !== space.columns[axis]);
    const claim = finder.find(decision, [...rest, { column: at, atoms: [atom] }], (tried, { on, given }) => {
      const value = reader.read(on, given).of(column.axis.expression);
      const meets = edge === undefined || (value !== undefined && sameValue(value, edge));
      return meets && 'evaluation' in tried;
    });
    if (typeof claim !== 'string') return claim;
  }
  return undefined;
}

function endsAt({ geometry: { space } }: DecisionSpace, box: Box, axis: number, below: number): boolean {
  const atoms = space.atoms(box, axis);
  return atoms.includes(below) !== atoms.includes(below + 1);
}

/** The column with the wanted atom narrowed to the one value at the end. */
function edgeColumn({ column }: Boundary, atom: number, value: Known): Boundary['column'] {
  const atoms = column.axis.atoms.map((each, place) => (place === atom ? ({ kind: 'point', value } as const) : each));
  return { ...column, axis: { ...column.axis, atoms } };
}
