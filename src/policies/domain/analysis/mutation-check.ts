import type { MutationCheck, SurvivingMutant } from '../../analysis.contract.js';
import type { CompiledPolicy, PolicyDocument, PolicyExample } from '../../policies.contract.js';
import { compilePolicy } from '../compile-policy.js';
import { runExamples } from '../run-examples.js';
import { ClaimFinder, dayWithin } from './claim-finder.js';
import { Budget, TooLarge } from './cover.js';
import { changesOf } from './decision-changes.js';
import type { DecisionSpace } from './decision-space.js';
import { MutantJudge, saidOf } from './mutant-judge.js';
import { mutantsOf, type Mutant } from './mutants.js';
import { periodsOf } from './periods.js';
import { policySpaces, type TableSource } from './policy-spaces.js';
import { sharedSpace } from './shared-space.js';

/** Most changes that are tried in one check. */
export const MOST_MUTANTS = 3_000;
/** Most survivors that are looked into: whether they make a difference, and for which claim. */
const MOST_EXPLAINED = 200;
/** Steps for finding out whether a survivor makes a difference. */
const STEPS_OF_A_SURVIVOR = 30_000;

/** Makes the tables of a document; a mutant has its own. */
export type TablesOf = (document: PolicyDocument) => TableSource;

/**
 * Writes the policy slightly wrong in every way it can, one at a time, and runs the examples: each must make at least one fail. A change
 * that makes no difference for any claim is told apart by the exact comparison of the two versions and not held against the examples.
 * @throws RangeError when an example fails already
 */
export function mutationCheck(policy: CompiledPolicy, tablesOf: TablesOf, most = MOST_MUTANTS): MutationCheck {
  const failing = runExamples(policy).find(({ passed }) => !passed);
  if (failing)
    throw new RangeError(`the example ${failing.id} fails; mend it before checking what the examples notice`);
  const judge = new MutantJudge(policy);
  const witness = new Witness(policy, tablesOf);
  let [noticed, equivalent, leftOut] = [0, 0, 0];
  const survivors: SurvivingMutant[] = [];
  for (const mutant of mutantsOf(policy.document)) {
    if (noticed + equivalent + survivors.length >= most) {
      leftOut += 1;
      continue;
    }
    const verdict = judge.notices(mutant);
    if (verdict === 'noticed') noticed += 1;
    if (verdict !== 'survives') continue;
    const shown = survivors.length < MOST_EXPLAINED ? witness.of(mutant) : undefined;
    if (shown === 'equivalent') equivalent += 1;
    else survivors.push({ ...survivor(mutant), ...(shown ? { candidate: shown } : {}) });
  }
  return { tried: noticed + survivors.length, noticed, survivors, equivalent, leftOut };
}

function survivor({ decision, rule, column, words }: Mutant): SurvivingMutant {
  const place = [decision, rule, column].filter((step) => step !== undefined).join('/');
  return {
    decision,
    ...(rule === undefined ? {} : { rule }),
    ...(column === undefined ? {} : { column }),
    detail: `${place}: ${words}, and no example notices.`,
  };
}

/** Finds out whether a survivor makes a difference at all, and for which claim. */
class Witness {
  private readonly periods;
  private readonly taken: Set<string>;

  constructor(
    private readonly policy: CompiledPolicy,
    private readonly tablesOf: TablesOf,
  ) {
    const tables = tablesOf(policy.document);
    this.taken = new Set(policy.document.examples.map(({ id }) => id));
    this.periods = periodsOf(policy.document)
      .toReversed()
      .map((period) => {
        const spaces = policySpaces(policy.document, tables, period, dayWithin(period));
        return { period, spaces, finder: new ClaimFinder(policy, spaces, period) };
      });
  }

  /** An example that would notice the mutant; `equivalent` where no claim can, undefined where none was found. */
  of(mutant: Mutant): PolicyExample | 'equivalent' | undefined {
    const { document } = this.policy;
    const [old, wrong] = [document, mutant.document].map(({ decisions }) =>
      decisions.find(({ id }) => id === mutant.decision),
    );
    const compiled = compilePolicy(mutant.document);
    if (!old?.table || !wrong?.table || !compiled.ok || mutant.document.parameters !== document.parameters)
      return undefined;
    const tables = this.tablesOf(mutant.document);
    const seen = new Set<string>();
    let isEquivalent = true;
    for (const { period, spaces, finder } of this.periods) {
      const left = spaces.get(old.id);
      const right = policySpaces(mutant.document, tables, period, dayWithin(period), [old.id]).get(old.id);
      if (!left || !right || left.open.size > 0) continue;
      const key = keyOf(left, right);
      if (seen.has(key)) continue;
      seen.add(key);
      const shared = sharedSpace({ space: left, rules: old.table.rules }, { space: right, rules: wrong.table.rules });
      if ('incomparable' in shared) return undefined;
      const pair = {
        was: compiled.policy,
        becomes: this.policy,
        old: wrong,
        decision: old,
        shared: reversed(shared),
        finder,
      };
      const changes = changesWithin({ ...pair, steps: STEPS_OF_A_SURVIVOR });
      if (changes === undefined) return undefined;
      if (changes.length > 0) isEquivalent = false;
      const example = changes.find((change) => change.example !== undefined)?.example;
      if (example) return this.candidate(mutant, example.on, example.given);
    }
    return isEquivalent && seen.size > 0 ? 'equivalent' : undefined;
  }

  private candidate(mutant: Mutant, on: string, given: PolicyExample['given']): PolicyExample | undefined {
    const said = saidOf(this.policy, on, given, [mutant.decision]);
    if (typeof said === 'string') return undefined;
    const decision = this.policy.document.decisions.find(({ id }) => id === mutant.decision);
    const names = Object.keys(decision?.gives ?? {});
    const own = Object.fromEntries(Object.entries(said.outcomes).filter(([name]) => names.includes(name)));
    const expect = said.noRule.includes(mutant.decision) ? { 'no rule': said.noRule } : own;
    const name = `notices ${[mutant.decision, mutant.rule].filter((step) => step !== undefined).join(' ')}`;
    let id = name;
    for (let copy = 2; this.taken.has(id); copy += 1) id = `${name} ${copy}`;
    this.taken.add(id);
    return { id, on, decisions: [mutant.decision], given, expect };
  }
}

/** The comparison the other way round: the policy as it is stands last, so that claims are looked for under it. */
function reversed<T extends { was: unknown; becomes: unknown }>(shared: T): T {
  return { ...shared, was: shared.becomes, becomes: shared.was };
}

function keyOf(left: DecisionSpace, right: DecisionSpace): string {
  return JSON.stringify([left.table, right.table, [...left.domain], [...right.domain]]);
}

function changesWithin(pair: Parameters<typeof changesOf>[0]) {
  try {
    return changesOf(pair, new Budget(pair.steps), 3);
  } catch (error) {
    if (!(error instanceof TooLarge)) throw error;
    return undefined;
  }
}
