import type { ChangedSide, PolicyChange, RegionPart } from '../../analysis.contract.js';
import type { CompiledPolicy, Facts, PolicyDecision } from '../../policies.contract.js';
import { PolicyConflict } from '../policy-conflict.js';
import type { Accepts, ClaimFinder, Search, Wanted } from './claim-finder.js';
import { cellText, conditionWords, listed } from './column-words.js';
import { compareTables, type ChangedRegion } from './compare.js';
import { Budget } from './cover.js';
import { factWords, outcomeWords } from './finding-draft.js';
import { countsAll, type OutcomeTable, type Result } from './outcome-table.js';
import type { SharedSpace } from './shared-space.js';
import type { Box } from './space.js';

/** One decision in two versions, in one period. */
export interface DecisionPair {
  readonly was: CompiledPolicy;
  readonly becomes: CompiledPolicy;
  readonly old: PolicyDecision;
  readonly decision: PolicyDecision;
  readonly shared: SharedSpace;
  /** Finds claims under the newer version. */
  readonly finder: ClaimFinder;
  readonly steps: number;
}

/** Most parts of a region that its sentence names. */
const MOST_NAMED = 2;
/** Most regions of one decision for which a claim is looked for. */
const MOST_EXAMPLES = 60;

/**
 * Where one decision comes out differently, region by region, the plainest first.
 * @param most regions after which the search stops
 * @throws TooLarge
 */
export function changesOf(pair: DecisionPair, budget = new Budget(pair.steps), most = Infinity): PolicyChange[] {
  const { shared } = pair;
  const tables = { was: shared.was, becomes: shared.becomes };
  const { regions } = compareTables(shared.space, tables, shared.domain, budget, most);
  const plain = regions.toSorted((a, b) => pieces(shared, a) - pieces(shared, b));
  return plain.flatMap((region, place) => changeOf(pair, region, place < MOST_EXAMPLES));
}

function pieces(shared: SharedSpace, { boxes }: ChangedRegion): number {
  return boxes.reduce((sum, box) => sum + 1 + wantedOf(shared, box).length, 0);
}

function changeOf(pair: DecisionPair, region: ChangedRegion, withExample: boolean): PolicyChange[] {
  const { shared, decision, old } = pair;
  const was = sideOf(old, shared.was, region.was);
  const becomes = sideOf(decision, shared.becomes, region.becomes);
  const boxes = region.boxes.toSorted((a, b) => wantedOf(shared, a).length - wantedOf(shared, b).length);
  const claim = withExample ? claimIn(pair, boxes) : 'not found';
  if (claim === 'there is none') return [];
  const named = boxes.slice(0, MOST_NAMED).map((box) => wordsOf(shared, box));
  const rest = boxes.length - named.length;
  const where = `${named.join('; or when ')}${rest > 0 ? `; and in ${rest} more ${rest === 1 ? 'part' : 'parts'}` : ''}`;
  const detail = `${decision.id}: when ${where}: was ${was.words}, becomes ${becomes.words}.`;
  const example = typeof claim === 'string' ? {} : { example: { ...claim, words: factWords(claim.given) } };
  return [{ decision: decision.id, was, becomes, detail, region: boxes.map((box) => partOf(shared, box)), ...example }];
}

function wantedOf({ space, columns, domain }: SharedSpace, box: Box): Wanted[] {
  return columns.flatMap((column, axis) =>
    space.breadth(box, axis) >= space.breadth(domain, axis) ? [] : [{ column, atoms: space.atoms(box, axis) }],
  );
}

function wordsOf(shared: SharedSpace, box: Box): string {
  const conditions = wantedOf(shared, box).map(({ column, atoms }) => conditionWords(column, atoms));
  return conditions.length === 0 ? 'anything is the case' : listed(conditions, 'and');
}

function partOf(shared: SharedSpace, box: Box): RegionPart {
  const cells = wantedOf(shared, box).filter(({ column }) => !shared.isCondition[shared.columns.indexOf(column)]);
  return Object.fromEntries(cells.map(({ column, atoms }) => [column.axis.expression, cellText(column, atoms)]));
}

function sideOf(decision: PolicyDecision, table: OutcomeTable, result: Result): ChangedSide {
  if (result.kind === 'no rule') return { words: 'no rule', rules: [] };
  const rules = result.rules.map((place) => table.rules[place]!.id);
  if (result.kind === 'conflict') return { words: `a contradiction of ${listed(rules, 'and')}`, rules };
  const [first] = result.rules;
  if (countsAll(table) && result.rules.length > 1) return { words: `what ${listed(rules, 'and')} give`, rules };
  const then = first === undefined ? decision.table?.otherwise : decision.table?.rules[first]?.then;
  const names = rules.length === 0 ? ['otherwise'] : rules;
  return { words: `${outcomeWords(then ?? {})} (${listed(names)})`, rules: names, ...(then ? { outcomes: then } : {}) };
}

/** A claim for which the two versions really differ. */
function claimIn({ was, decision, finder, shared }: DecisionPair, boxes: readonly Box[]): Search {
  const names = Object.keys(decision.gives);
  const accepts: Accepts = (tried, { on, given }) => {
    const before = outcomesOn(was, decision.id, on, given, names);
    const after = 'evaluation' in tried ? shownOutcomes(tried.evaluation.outcomes, names) : 'contradiction';
    return before !== undefined && before !== after;
  };
  let last: Search = 'there is none';
  for (const box of boxes.slice(0, MOST_NAMED + 2)) {
    const claim = finder.find(decision.id, wantedOf(shared, box), accepts);
    if (typeof claim !== 'string') return claim;
    if (claim === 'not found') last = claim;
  }
  return boxes.length > MOST_NAMED + 2 && last === 'there is none' ? 'not found' : last;
}

/** What a version says of a claim, as text; undefined where it does not know one of its facts. */
export function outcomesOn(
  policy: CompiledPolicy,
  decision: string,
  on: string,
  facts: Facts,
  names: readonly string[],
): string | undefined {
  const declared = policy.document.facts;
  const readable = Object.fromEntries(Object.entries(facts).filter(([name]) => Object.hasOwn(declared, name)));
  try {
    return shownOutcomes(policy.evaluate(on, readable, [decision]).outcomes, names);
  } catch (error) {
    if (error instanceof PolicyConflict) return 'contradiction';
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}

function shownOutcomes(outcomes: Readonly<Record<string, unknown>>, names: readonly string[]): string {
  return JSON.stringify(names.map((name) => outcomes[name] ?? null));
}
