import type { PolicyDocument } from '../../policies.contract.js';
import { wantedIn, type ClaimFinder, type Search, type Tried } from './claim-finder.js';
import { listed } from './column-words.js';
import { uncovered, type Budget } from './cover.js';
import type { DecisionSpace } from './decision-space.js';
import { outcomeWords, regionPart, regionWords, ruleOf, type FindingDraft } from './finding-draft.js';
import { ruleBoxes } from './outcome-table.js';
import { overlaps, type OverlapPair } from './overlap.js';
import type { Box } from './space.js';
import type { TableFindings } from './table-findings.js';

interface Input {
  readonly document: PolicyDocument;
  readonly space: DecisionSpace;
  readonly finder: ClaimFinder;
  readonly budget: Budget;
}

/** Most pairs that are counted before the sweep stops. */
const MOST_PAIRS = 20_000;
const MOST_SHOWN = 20;

/** A pair of rules with what is left of their common part when exceptions to either are taken out. */
interface Clash {
  readonly rules: readonly [number, number];
  readonly boxes: readonly Box[];
}

/**
 * Rules that hold together. Under `unique` each is an error, under `any` where the outcomes differ; where the order settles it, one sentence
 * says how many there are. An exception to a rule is no clash with it; two exceptions to the same rule are, under every hit policy.
 */
export function overlapFindings(input: Input): TableFindings {
  const { space } = input;
  const { geometry } = space;
  const found = overlaps(geometry.space, certainBoxes(space), MOST_PAIRS);
  const pairs = found.pairs.filter(({ rules: [a, b] }) => !related(space, a, b));
  const clashes = pairs.flatMap((pair) =>
    isForbidden(space, pair.rules) ? clashOf(input, pair) : exceptionsOf(space, pair),
  );
  const drafts: FindingDraft[] = [];
  let left = found.complete ? 0 : 1;
  for (const group of grouped(clashes)) {
    if (drafts.length >= MOST_SHOWN) left += 1;
    else drafts.push(...clashDraft(input, group));
  }
  const settled = geometry.choice === 'first' ? settledByOrder(input, pairs) : [];
  return { drafts: [...drafts, ...settled], more: left === 0 ? [] : [{ kind: 'overlap', atLeast: left }] };
}

function isForbidden({ geometry: { choice, rules } }: DecisionSpace, [a, b]: readonly [number, number]): boolean {
  return choice === 'unique' || (choice === 'any' && rules[a]!.outcome !== rules[b]!.outcome);
}

/** Where two exceptions to the same rule hold with it. */
function exceptionsOf({ geometry }: DecisionSpace, { rules: [a, b], boxes }: OverlapPair): Clash[] {
  const bases = geometry.exceptionTo[a]!.filter((base) => geometry.exceptionTo[b]!.includes(base));
  const shared = bases.flatMap((base) =>
    geometry.rules[base]!.boxes.flatMap((box) => boxes.flatMap((each) => geometry.space.common(each, box) ?? [])),
  );
  return shared.length === 0 ? [] : [{ rules: [a, b], boxes: shared }];
}

function certainBoxes({ geometry, domain, open }: DecisionSpace) {
  return ruleBoxes(geometry).flatMap(({ rule, box }) => {
    const possible = open.has(rule) ? undefined : geometry.space.common(box, domain);
    return possible ? [{ rule, box: possible }] : [];
  });
}

function related({ geometry }: DecisionSpace, a: number, b: number): boolean {
  return geometry.exceptionTo[a]!.includes(b) || geometry.exceptionTo[b]!.includes(a);
}

function clashOf({ space, budget }: Input, { rules, boxes }: OverlapPair): Clash[] {
  const { geometry } = space;
  const exceptions = ruleBoxes(geometry).filter(
    ({ rule }) => !space.open.has(rule) && geometry.exceptionTo[rule]!.some((other) => rules.includes(other)),
  );
  if (exceptions.length === 0) return [{ rules, boxes }];
  const left = boxes.flatMap((box) => uncovered(geometry.space, box, exceptions, budget).boxes);
  return left.length === 0 ? [] : [{ rules, boxes: left }];
}

/** Clashes by their first rule, so that one rule that is too wide is one finding. */
function grouped(clashes: readonly Clash[]): Clash[][] {
  const count = new Map<number, number>();
  for (const rule of clashes.flatMap(({ rules }) => rules)) count.set(rule, (count.get(rule) ?? 0) + 1);
  const groups = new Map<number, Clash[]>();
  for (const clash of clashes) {
    const [a, b] = clash.rules;
    const key = (count.get(b) ?? 0) > (count.get(a) ?? 0) ? b : a;
    groups.set(key, [...(groups.get(key) ?? []), clash]);
  }
  return [...groups].map(([key, group]) =>
    group.map(({ rules: [a, b], boxes }) => ({ rules: key === a ? ([a, b] as const) : ([b, a] as const), boxes })),
  );
}

function clashDraft(input: Input, group: readonly Clash[]): FindingDraft[] {
  const { document, space, finder } = input;
  const { table, geometry } = space;
  const shown = group.flatMap((clash) => {
    const claim = firstClaim(finder, space, clash);
    return claim === 'there is none' ? [] : [{ clash, claim }];
  });
  const [first] = shown;
  if (!first) return [];
  const id = (place: number): string => geometry.rules[place]!.id;
  const [rule] = first.clash.rules;
  const others = shown.map(({ clash }) => clash.rules[1]);
  const where = regionWords(space, first.clash.boxes[0]!);
  const allowed =
    geometry.choice === 'unique'
      ? 'and the table allows only one'
      : geometry.choice === 'any'
        ? 'and they differ'
        : 'and both are exceptions to the same rule';
  const example = others.length === 1 ? '' : `; with ${id(others[0]!)}`;
  const detail = `${id(rule)} and ${listed(others.map(id), 'or')} both hold, ${allowed}${example} when ${where}.`;
  const then = ruleOf(document, table.decision, rule)?.then;
  return [
    {
      kind: 'overlap',
      severity: typeof first.claim === 'string' ? 'warning' : 'error',
      decision: table.decision,
      rules: [id(rule), ...others.map(id)],
      detail,
      region: shown.flatMap(({ clash }) => clash.boxes.map((box) => regionPart(space, box))),
      ...(typeof first.claim === 'string' ? {} : { claim: first.claim, ...(then ? { expect: then } : {}) }),
    },
  ];
}

function firstClaim(finder: ClaimFinder, space: DecisionSpace, { boxes }: Clash): Search {
  let last: Search = 'there is none';
  for (const box of boxes.slice(0, 4)) {
    const claim = finder.find(space.table.decision, wantedIn(space, box), (tried: Tried) => 'conflict' in tried);
    if (typeof claim !== 'string') return claim;
    if (claim === 'not found') last = claim;
  }
  return last;
}

/** One sentence on how many rules with different outcomes are told apart by their order only. */
function settledByOrder({ document, space }: Input, pairs: readonly OverlapPair[]): FindingDraft[] {
  const { geometry, table } = space;
  const differing = pairs.filter(({ rules: [a, b] }) => geometry.rules[a]!.outcome !== geometry.rules[b]!.outcome);
  const [first] = differing;
  if (!first) return [];
  const [a, b] = first.rules;
  const then = (place: number): string => outcomeWords(ruleOf(document, table.decision, place)?.then ?? {});
  const [counted, settle] =
    differing.length === 1
      ? ['One pair of rules', 'holds together and is']
      : [`${differing.length} pairs of rules`, 'hold together and are'];
  const names = `${geometry.rules[a]!.id} (${then(a)}) before ${geometry.rules[b]!.id} (${then(b)})`;
  const detail = `${counted} with different outcomes ${settle} told apart by order only, as ${names}.`;
  return [{ kind: 'overlap', severity: 'information', decision: table.decision, rules: [], detail, isSummary: true }];
}
