import type { PolicyDocument, PolicyExample } from '../../policies.contract.js';
import { wantedIn, type ClaimFinder, type Search, type Tried } from './claim-finder.js';
import { listed } from './column-words.js';
import { TooLarge, uncovered, widened, type Budget } from './cover.js';
import { boxAtoms, type DecisionSpace } from './decision-space.js';
import { regionPart, regionWords, ruleOf, type FindingDraft } from './finding-draft.js';
import { countsAll, ruleBoxes } from './outcome-table.js';
import { overlapFindings } from './overlap-findings.js';
import { maskedRules, mergeablePairs, redundantRules } from './rule-checks.js';
import { runs } from './space.js';

/** What the analysis of one table works with. */
export interface TableInput {
  readonly document: PolicyDocument;
  readonly space: DecisionSpace;
  readonly finder: ClaimFinder;
  readonly budget: Budget;
}

/** Findings of one table in one period, and how many more there are of a kind at the least. */
export interface TableFindings {
  readonly drafts: readonly FindingDraft[];
  readonly more: readonly { readonly kind: FindingDraft['kind']; readonly atLeast: number }[];
}

/** Most findings of one kind that are shown for one table. */
export const MOST_SHOWN = 20;
/** Most free boxes that are looked at before they are joined. */
const MOST_FREE = 2_000;
/** Most gaps for which a claim is looked for. */
const MOST_SEARCHED = 60;

/** Everything that one table shows by itself. A table that is too large ends with a finding that says so. */
export function tableFindings(input: TableInput): TableFindings {
  const drafts: FindingDraft[] = [];
  const more: { kind: FindingDraft['kind']; atLeast: number }[] = [];
  const add = (found: TableFindings): void => {
    drafts.push(...found.drafts);
    more.push(...found.more);
  };
  const parts: readonly [string, (input: TableInput) => TableFindings][] = [
    ['which rules can never hold', neverHolding],
    ['gaps', gapFindings],
    ['overlaps', overlapFindings],
    ['masked and redundant rules', uselessRules],
  ];
  for (const [what, part] of parts) {
    try {
      add(part(input));
    } catch (error) {
      if (!(error instanceof TooLarge)) throw error;
      drafts.push(tooLarge(input.space, what));
      break;
    }
  }
  return { drafts: [...drafts, ...unproven(input.space)], more };
}

function tooLarge({ table }: DecisionSpace, what: string): FindingDraft {
  const detail = `The table is too large to prove: the search for ${what} was given up. Split it into smaller decisions.`;
  return { kind: 'not proven', severity: 'warning', decision: table.decision, rules: [], detail };
}

function unproven({ table, open, tooLarge: large }: DecisionSpace): FindingDraft[] {
  const found: FindingDraft[] = [];
  const at = { kind: 'not proven', decision: table.decision } as const;
  const ids = (places: Iterable<number>): string[] => [...places].map((place) => table.rules[place]!.id);
  if (open.size > 0) {
    const rules = ids(open);
    const [has, they] = rules.length === 1 ? ['has a cell that compares', 'it'] : ['have cells that compare', 'they'];
    const detail = `${listed(rules, 'and')} ${has} a column with another fact; the analysis takes it that ${they} may hold there and need not.`;
    found.push({ ...at, severity: 'information', rules, detail });
  }
  if (large.length > 0) {
    const rules = ids(large);
    const detail = `${listed(rules, 'and')}: too many alternatives in the cells to analyse; split the rule.`;
    found.push({ ...at, severity: 'warning', rules, detail });
  }
  return found;
}

/** Cells that accept nothing, or nothing that an earlier decision gives, and rules with such cells. */
function neverHolding({ document, space }: TableInput): TableFindings {
  const { table, geometry, columns, domain } = space;
  const drafts = geometry.rules.flatMap(({ id, boxes }, place): FindingDraft[] => {
    if (space.tooLarge.includes(place) || boxes.some((box) => geometry.space.meets(box, domain))) return [];
    const rule = ruleOf(document, table.decision, place);
    const axis = columns.findIndex((_, each) => {
      const possible = geometry.space.atoms(domain, each);
      return !possible.some((atom) => accepts(space, place, each, atom));
    });
    const column = columns[axis]?.axis;
    const cell = column && rule?.when[column.column];
    const base = { kind: 'never holds', severity: 'error', decision: table.decision, rules: [id] } as const;
    if (!column || cell === undefined) return [{ ...base, detail: `${id} can never hold.` }];
    const detail = `${id} can never hold: nothing that "${column.expression}" can be is accepted by the cell ${cell}`;
    return [{ ...base, column: column.column, from: 0, to: cell.length, detail: `${detail}.` }];
  });
  return { drafts, more: [] };
}

function accepts({ table }: DecisionSpace, rule: number, axis: number, atom: number): boolean {
  const bits = table.rules[rule]!.accepts[axis]!;
  return (bits[atom >>> 5]! & (1 << (atom & 31))) !== 0;
}

/** What no rule answers. A table with `otherwise` answers everything. */
export function gapFindings({ space, finder, budget }: TableInput): TableFindings {
  const { geometry, domain, table } = space;
  if (geometry.otherwise !== undefined || countsAll(geometry)) return { drafts: [], more: [] };
  const rules = ruleBoxes(geometry);
  const free = uncovered(geometry.space, domain, rules, budget, MOST_FREE);
  const gaps = widened(geometry.space, free.boxes, rules, domain);
  const drafts: FindingDraft[] = [];
  let left = 0;
  for (const [place, gap] of plainest(space, gaps).entries()) {
    if (drafts.length >= MOST_SHOWN || place >= MOST_SEARCHED) {
      left += 1;
      continue;
    }
    const claim = finder.find(table.decision, wantedIn(space, gap), (tried) => hasNoRule(tried, table.decision));
    if (claim === 'there is none') continue;
    drafts.push(gapDraft(space, regionWords(space, gap), regionPart(space, gap), claim));
  }
  const atLeast = left + (free.complete ? 0 : 1);
  return { drafts, more: atLeast === 0 ? [] : [{ kind: 'gap', atLeast }] };
}

function hasNoRule(tried: Tried, decision: string): boolean {
  return 'evaluation' in tried && tried.evaluation.noRule.includes(decision);
}

/** Boxes with the fewest and simplest conditions first. */
function plainest(space: DecisionSpace, boxes: readonly Int32Array[]): Int32Array[] {
  const pieces = (box: Int32Array): number =>
    boxAtoms(space, box).reduce((sum, { atoms }) => sum + 2 + runs(atoms).length, 0);
  return boxes.toSorted((a, b) => pieces(a) - pieces(b));
}

function gapDraft(
  space: DecisionSpace,
  words: string,
  part: Readonly<Record<string, string>>,
  claim: Search,
): FindingDraft {
  const { decision } = space.table;
  const expect: PolicyExample['expect'] = { 'no rule': [decision] };
  const found = typeof claim === 'string' ? {} : { claim, expect };
  const detail = `No rule answers when ${words}.`;
  const severity = typeof claim === 'string' ? 'information' : 'warning';
  const unsure =
    typeof claim === 'string' ? ' No claim was found that shows it; the columns may exclude each other.' : '';
  return { kind: 'gap', severity, decision, rules: [], detail: detail + unsure, region: [part], ...found };
}

/** Rules that never decide, change nothing, or could be one with a neighbour. */
function uselessRules(input: TableInput): TableFindings {
  const { document, space, finder, budget } = input;
  const { geometry, table, open } = space;
  const { decision } = table;
  const certain = open.size === 0 ? geometry : withoutOpen(space);
  const masked = maskedRules(certain, budget);
  const id = (place: number): string => geometry.rules[place]!.id;
  const base = { decision } as const;
  const drafts: FindingDraft[] = masked.map(({ rule, by }) => {
    const claim = finder.find(
      decision,
      wantedIn(space, geometry.rules[rule]!.boxes[0]!),
      (tried) => 'evaluation' in tried,
    );
    const names = listed(by.map(id), 'and');
    const detail = `${id(rule)} never decides: ${names} ${by.length > 1 ? 'together always come' : 'always comes'} first.`;
    const region = geometry.rules[rule]!.boxes.map((box) => regionPart(space, box));
    const found = typeof claim === 'string' ? {} : { claim };
    return { ...base, kind: 'masked', severity: 'warning', rules: [id(rule), ...by.map(id)], detail, region, ...found };
  });
  if (open.size > 0) return { drafts, more: [] };
  const gone = new Set(masked.map(({ rule }) => rule));
  for (const rule of redundantRules(geometry, gone, budget)) {
    const explained = ruleOf(document, decision, rule)?.because !== undefined;
    const detail = `Without ${id(rule)} nothing changes: wherever it decides, the other rules come to the same${explained ? ', with another reason' : ''}.`;
    const severity = explained ? 'information' : 'warning';
    drafts.push({ ...base, kind: 'redundant', severity, rules: [id(rule)], detail });
    gone.add(rule);
  }
  for (const [a, b] of mergeablePairs(geometry)) {
    if (gone.has(a) || gone.has(b) || !sameReason(document, decision, a, b)) continue;
    const detail = `${id(a)} and ${id(b)} could be one rule: they give the same for the same reason and differ in one column, where they touch.`;
    drafts.push({ ...base, kind: 'could be one', severity: 'information', rules: [id(a), id(b)], detail });
  }
  return { drafts, more: [] };
}

function sameReason(document: PolicyDocument, decision: string, a: number, b: number): boolean {
  const [one, other] = [ruleOf(document, decision, a), ruleOf(document, decision, b)];
  return one?.because === other?.because && one?.source === other?.source;
}

/** The table in which rules that need not hold mask nothing, though they can be masked themselves. */
function withoutOpen({ geometry, open }: DecisionSpace): DecisionSpace['geometry'] {
  return { ...geometry, rules: geometry.rules.map((rule, place) => (open.has(place) ? { ...rule, boxes: [] } : rule)) };
}
