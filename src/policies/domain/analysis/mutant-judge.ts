import type {
  CompiledPolicy,
  Evaluation,
  PolicyDecision,
  PolicyDocument,
  PolicyExample,
} from '../../policies.contract.js';
import { compilePolicy } from '../compile-policy.js';
import { PolicyConflict } from '../policy-conflict.js';
import { runExamples } from '../run-examples.js';
import type { Mutant } from './mutants.js';

type Given = PolicyExample['given'];

/** What a policy says of a claim; a word where it says nothing. */
export type Said = Pick<Evaluation, 'outcomes' | 'noRule' | 'needs'> | 'contradiction' | 'failed';

/** Runs decisions and turns what can go wrong into words. */
export function saidOf(
  policy: CompiledPolicy,
  on: string,
  given: Given,
  decisions: readonly string[] | undefined,
): Said {
  try {
    const { outcomes, noRule, needs } = policy.evaluate(on, given, decisions);
    return { outcomes, noRule, needs };
  } catch (error) {
    if (error instanceof PolicyConflict) return 'contradiction';
    if (error instanceof RangeError) return 'failed';
    throw error;
  }
}

/** What an example puts to one decision alone, and what the decision says today. */
interface Alone {
  readonly example: PolicyExample;
  readonly given: Given;
  readonly said: Said;
}

/**
 * Tells whether examples notice a mutant. The decision that was changed is compiled alone, with earlier outcomes as facts: where it says
 * the same for every example, so does the policy; where an outcome that an example expects has changed, the example fails. Only where
 * neither is so is the whole policy compiled.
 */
export class MutantJudge {
  private readonly before = new Map<string, readonly Alone[]>();

  constructor(private readonly policy: CompiledPolicy) {}

  /** @returns `no policy` where the mutant does not compile, so that nobody could have written it */
  notices(mutant: Mutant): 'noticed' | 'survives' | 'no policy' {
    const { document } = this.policy;
    const decision = mutant.document.decisions.find(({ id }) => id === mutant.decision);
    if (!decision) return 'no policy';
    const alone = compilePolicy(aloneDocument(mutant.document, decision));
    if (!alone.ok) return 'no policy';
    const names = Object.keys(decision.gives);
    const affected: PolicyExample[] = [];
    for (const { example, given, said } of this.aloneOf(decision.id)) {
      const now = saidOf(alone.policy, example.on, given, [decision.id]);
      if (JSON.stringify(now) === JSON.stringify(said)) continue;
      if (expects(example, names, said, now)) return 'noticed';
      affected.push(example);
    }
    // A parameter may be read by other decisions too.
    const isWide = mutant.document.parameters !== document.parameters;
    if (affected.length === 0 && !isWide) return 'survives';
    const mutated = compilePolicy({ ...mutant.document, examples: isWide ? document.examples : affected });
    if (!mutated.ok) return 'no policy';
    return failsOne(mutated.policy) ? 'noticed' : 'survives';
  }

  private aloneOf(id: string): readonly Alone[] {
    const known = this.before.get(id);
    if (known) return known;
    const { document } = this.policy;
    const place = document.decisions.findIndex((each) => each.id === id);
    const alone = compilePolicy(aloneDocument(document, document.decisions[place]!));
    const found = document.examples.map((example): Alone => {
      const outcomes = document.decisions.slice(0, place).map((each) => {
        const said = saidOf(this.policy, example.on, example.given, [each.id]);
        return typeof said === 'string' ? {} : said.outcomes;
      });
      const given = Object.assign({}, ...outcomes, example.given) as Given;
      return { example, given, said: alone.ok ? saidOf(alone.policy, example.on, given, [id]) : 'failed' };
    });
    this.before.set(id, found);
    return found;
  }
}

/** Whether an example names an outcome that was as it expects and no longer is. */
function expects(example: PolicyExample, names: readonly string[], before: Said, now: Said): boolean {
  if (typeof before === 'string') return false;
  return names.some((name) => {
    if (!Object.hasOwn(example.expect, name) || before.outcomes[name] === undefined) return false;
    const other = typeof now === 'string' ? undefined : now.outcomes[name];
    return JSON.stringify(other) !== JSON.stringify(before.outcomes[name]);
  });
}

/** A document with one decision only; what it reads of earlier ones is given as facts. */
export function aloneDocument(document: PolicyDocument, decision: PolicyDecision): PolicyDocument {
  const earlier = document.decisions.slice(
    0,
    document.decisions.findIndex(({ id }) => id === decision.id),
  );
  const outcomes = Object.fromEntries(earlier.flatMap(({ gives }) => Object.entries(gives)));
  return { ...document, facts: { ...document.facts, ...outcomes }, decisions: [decision], clocks: [], examples: [] };
}

function failsOne(policy: CompiledPolicy): boolean {
  try {
    return runExamples(policy).some(({ passed }) => !passed);
  } catch (error) {
    // A mutant that contradicts itself for an example is noticed.
    if (error instanceof PolicyConflict || error instanceof RangeError) return true;
    throw error;
  }
}
