import type { CompiledPolicy, Evaluation, Facts, OutcomeValue } from '../../policies.contract.js';
import { PolicyConflict } from '../policy-conflict.js';
import { typeOfName, written, type Column, type FactValue } from './column-words.js';
import { Budget, TooLarge, uncovered } from './cover.js';
import type { DecisionSpace } from './decision-space.js';
import { atomsOfCandidates, factCandidates, MOST_CANDIDATES, type Candidate, type Days } from './fact-candidates.js';
import { atomOf, niceValue } from './nice-value.js';
import { countsAll, ruleBoxes } from './outcome-table.js';
import type { Box } from './space.js';
import { readTyped } from '../values.js';

/** A claim that shows a finding. */
export interface FoundClaim {
  readonly on: string;
  readonly given: Facts;
}

/** A claim; or that there is none; or that none was found in the steps allowed. */
export type Search = FoundClaim | 'there is none' | 'not found';

/** What came of running a policy on a claim: its evaluation, the rules that are in conflict, or why it cannot be run. */
export type Tried =
  { readonly evaluation: Evaluation } | { readonly conflict: PolicyConflict } | { readonly failed: RangeError };

/** Whether a claim shows what is looked for. */
export type Accepts = (tried: Tried, claim: FoundClaim) => boolean;

/** What a column has to be: one of some atoms. */
export interface Wanted {
  readonly column: Column;
  readonly atoms: readonly number[];
}

type Then = Readonly<Record<string, OutcomeValue>>;

/** What is still free while a claim is put together. */
interface State {
  /** For each fact places of the candidates that are left. */
  readonly left: ReadonlyMap<string, readonly number[]>;
  /** Values of facts that read well, where a region asked for the fact. */
  readonly nice: ReadonlyMap<string, string>;
  /** For each earlier decision what its outcomes have to meet. */
  readonly wants: ReadonlyMap<string, readonly ((then: Then) => boolean)[]>;
}

const MOST_STEPS = 3_000;
const MOST_TRIES = 300;
const MOST_BOXES = 24;

/**
 * Finds claims that lie in a region of a decision's table. Columns that are facts are set directly; for a column that is the
 * outcome of an earlier decision, facts are looked for that make the earlier decision give it; columns that are calculated are
 * met by trying. Every claim is run through the policy before it is shown, so no finding rests on the geometry alone.
 */
export class ClaimFinder {
  private readonly candidates: ReadonlyMap<string, readonly Candidate[]>;
  private readonly atoms = new Map<Column, (number | undefined)[]>();
  private readonly decisionOf: ReadonlyMap<string, string>;
  private readonly isCapped: boolean;
  private steps = 0;
  private tries = 0;
  private unsure = false;

  /** @param others tables of another version, whose ends are to be met as well */
  constructor(
    private readonly policy: CompiledPolicy,
    private readonly spaces: ReadonlyMap<string, DecisionSpace>,
    private readonly days: Days,
    others: Iterable<DecisionSpace> = [],
  ) {
    const columns = [...spaces.values(), ...others].flatMap((space) => space.columns);
    this.candidates = factCandidates(policy.document, columns, days);
    this.isCapped = [...this.candidates.values()].some(({ length }) => length >= MOST_CANDIDATES);
    this.decisionOf = new Map(
      policy.document.decisions.flatMap(({ id, gives }) => Object.keys(gives).map((name) => [name, id] as const)),
    );
  }

  /**
   * A claim whose columns are what is wanted and for which the policy comes to what is accepted.
   * @param decision that is run
   */
  find(decision: string, wanted: readonly Wanted[], accepts: Accepts): Search {
    this.steps = 0;
    this.tries = 0;
    this.unsure = this.isCapped || (this.spaces.get(decision)?.open.size ?? 0) > 0;
    const all = new Map([...this.candidates].map(([fact, values]) => [fact, values.map((_, place) => place)]));
    const start = this.narrowed({ left: all, nice: new Map(), wants: new Map() }, wanted);
    const found = start && this.search(start, decision, accepts);
    return found ?? (this.unsure ? 'not found' : 'there is none');
  }

  private search(state: State, decision: string, accepts: Accepts): FoundClaim | undefined {
    this.steps += 1;
    if (this.steps > MOST_STEPS || this.tries > MOST_TRIES) {
      this.unsure = true;
      return undefined;
    }
    const next = this.lastWanted(state);
    if (next === undefined) return this.complete(state, decision, accepts);
    const [conditions, wants] = [state.wants.get(next) ?? [], new Map(state.wants)];
    wants.delete(next);
    const rest = { ...state, wants };
    const boxes = this.regions(next, (then) => conditions.every((meets) => meets(then)));
    if (boxes === undefined) {
      this.unsure = true;
      return this.search(rest, decision, accepts);
    }
    for (const box of boxes) {
      const narrowed = this.narrowed(rest, wantedIn(this.spaces.get(next), box));
      const found = narrowed && this.search(narrowed, decision, accepts);
      if (found) return found;
    }
    return undefined;
  }

  /** The latest decision that has something to meet: everything that reads it has been settled before. */
  private lastWanted(state: State): string | undefined {
    return this.policy.document.decisions.findLast(({ id }) => state.wants.has(id))?.id;
  }

  /** Boxes of a table in which its outcome is wanted; undefined where that is not to be had from its geometry. */
  private regions(decision: string, wanted: (then: Then) => boolean): Box[] | undefined {
    const space = this.spaces.get(decision);
    const table = this.policy.document.decisions.find(({ id }) => id === decision)?.table;
    if (!space || !table || countsAll(space.geometry)) return undefined;
    const { geometry, domain } = space;
    if (space.open.size > 0) this.unsure = true;
    const good = table.rules.map((rule) => wanted(rule.then));
    const all = ruleBoxes(geometry);
    const budget = new Budget(MOST_STEPS * 10);
    const free = (box: Box, rules: (other: number) => boolean): Box[] => {
      const within = geometry.space.common(box, domain);
      if (!within) return [];
      const found = uncovered(
        geometry.space,
        within,
        all.filter(({ rule }) => rules(rule)),
        budget,
        MOST_BOXES,
      );
      if (!found.complete) this.unsure = true;
      return [...found.boxes];
    };
    try {
      const byRules = geometry.precedence.flatMap((rule) => {
        if (!good[rule]) return [];
        const beats = (other: number): boolean => !good[other] && this.isStronger(space, other, rule);
        return geometry.rules[rule]!.boxes.flatMap((box) => free(box, beats));
      });
      const rest = table.otherwise && wanted(table.otherwise) ? free(domain, () => true) : [];
      return [...byRules, ...rest];
    } catch (error) {
      if (!(error instanceof TooLarge)) throw error;
      return undefined;
    }
  }

  private isStronger({ geometry }: DecisionSpace, other: number, rule: number): boolean {
    if (geometry.exceptionTo[rule]!.includes(other)) return false;
    if (geometry.choice !== 'first' || geometry.exceptionTo[other]!.includes(rule)) return true;
    return geometry.rank[other]! < geometry.rank[rule]!;
  }

  /** The state with everything that is wanted; undefined where a fact is left without a value. */
  private narrowed(state: State, wanted: readonly Wanted[]): State | undefined {
    const [left, nice, wants] = [new Map(state.left), new Map(state.nice), new Map(state.wants)];
    for (const { column, atoms } of wanted) {
      const { name } = column.axis;
      const earlier = name === undefined ? undefined : this.decisionOf.get(name);
      if (name !== undefined && this.candidates.has(name)) {
        const places = this.placesOf(column, name);
        const accepted = new Set(atoms);
        const kept = (left.get(name) ?? []).filter((place) => accepted.has(places[place] ?? -1));
        if (kept.length === 0) return undefined;
        left.set(name, kept);
        const value = niceValue(column, atoms);
        if (value !== undefined && !nice.has(name)) nice.set(name, JSON.stringify(written(column, value)));
      } else if (name !== undefined && earlier !== undefined) {
        const meets = (then: Then): boolean => atoms.includes(this.atomOfOutcome(column, name, then) ?? -1);
        wants.set(earlier, [...(wants.get(earlier) ?? []), meets]);
      } else this.unsure = true;
    }
    return { left, nice, wants };
  }

  private placesOf(column: Column, fact: string): (number | undefined)[] {
    const known = this.atoms.get(column) ?? atomsOfCandidates(column, this.candidates.get(fact) ?? []);
    this.atoms.set(column, known);
    return known;
  }

  private atomOfOutcome(column: Column, name: string, then: Then): number | undefined {
    const type = typeOfName(this.policy.document, name);
    const read = type && readTyped(type, then[name]);
    return read && 'value' in read ? atomOf(column, read.value) : undefined;
  }

  /** Puts a claim together from what is left, and tries others where the first does not do. */
  private complete(state: State, decision: string, accepts: Accepts): FoundClaim | undefined {
    const given = new Map<string, FactValue>();
    for (const [fact, places] of state.left) {
      const all = this.candidates.get(fact) ?? [];
      if (places.length < all.length || state.nice.has(fact)) given.set(fact, this.choose(state, fact));
    }
    const first = this.tryClaim(state, decision, given, accepts);
    if (first !== undefined || !this.unsure) return first;
    return this.tryOthers(state, decision, given, accepts);
  }

  private choose(state: State, fact: string): FactValue {
    const values = (state.left.get(fact) ?? []).map((place) => this.candidates.get(fact)?.[place]?.written ?? null);
    const nice = state.nice.get(fact);
    return values.find((value) => JSON.stringify(value) === nice) ?? values[0] ?? null;
  }

  /** Changes one or two facts at a time, for columns that are calculated from several. */
  private tryOthers(
    state: State,
    decision: string,
    given: ReadonlyMap<string, FactValue>,
    accepts: Accepts,
  ): FoundClaim | undefined {
    const facts = this.calculatedFrom(decision);
    const vary = (at: number, so: ReadonlyMap<string, FactValue>): FoundClaim | undefined => {
      const fact = facts[at];
      if (fact === undefined) return this.tryClaim(state, decision, so, accepts);
      for (const place of state.left.get(fact) ?? []) {
        if (this.tries > MOST_TRIES) return undefined;
        const value = this.candidates.get(fact)?.[place]?.written ?? null;
        const found = vary(at + 1, new Map([...so, [fact, value]]));
        if (found) return found;
      }
      return undefined;
    };
    return facts.length === 0 ? undefined : vary(0, given);
  }

  /** Facts that stand in a calculated column of a decision. */
  private calculatedFrom(decision: string): string[] {
    const texts = (this.spaces.get(decision)?.columns ?? [])
      .filter(({ axis }) => axis.name === undefined)
      .map(({ axis }) => axis.expression);
    return [...this.candidates.keys()].filter((fact) => texts.some((text) => text.includes(fact)));
  }

  /** Runs the policy; facts that it still needs are added with a value of those that are left. */
  private tryClaim(
    state: State,
    decision: string,
    chosen: ReadonlyMap<string, FactValue>,
    accepts: Accepts,
  ): FoundClaim | undefined {
    this.tries += 1;
    const given = new Map(chosen);
    const { governedBy } = this.policy.document;
    const on = String(given.get(governedBy) ?? dayWithin(this.days));
    for (;;) {
      const tried = run(this.policy, on, Object.fromEntries(given), decision);
      const needs = 'evaluation' in tried ? tried.evaluation.needs.filter(({ fact }) => !given.has(fact)) : [];
      if (needs.length === 0) {
        const claim = { on, given: Object.fromEntries(given) };
        return accepts(tried, claim) ? claim : undefined;
      }
      for (const { fact } of needs) given.set(fact, fact === governedBy ? on : this.choose(state, fact));
    }
  }
}

/** What a box of a table asks of its columns. */
export function wantedIn(space: DecisionSpace | undefined, box: Box): Wanted[] {
  if (!space) return [];
  const { columns, geometry } = space;
  return columns.flatMap((column, axis) =>
    geometry.space.isWhole(box, axis) ? [] : [{ column, atoms: geometry.space.atoms(box, axis) }],
  );
}

/** A day within a period: its first, or the last before its end. */
export function dayWithin({ from, before }: Days): string {
  if (from !== undefined) return from;
  return before === undefined ? '2026-01-01' : Temporal.PlainDate.from(before).subtract({ days: 1 }).toString();
}

function run(policy: CompiledPolicy, on: string, given: Facts, decision: string): Tried {
  try {
    return { evaluation: policy.evaluate(on, given, [decision]) };
  } catch (error) {
    if (error instanceof PolicyConflict) return { conflict: error };
    if (error instanceof RangeError) return { failed: error };
    throw error;
  }
}
