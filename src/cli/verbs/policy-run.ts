import { comparePolicies, periodWords } from '../../policies/analysis.contract.js';
import type { Facts, FactType, OutcomeValue, PolicyDocument } from '../../policies/policies.contract.js';
import { PolicyConflict } from '../../policies/policies.contract.js';
import { readOptions } from '../command-options.js';
import { BadInput } from '../json-input.js';
import { changesByClaims, readClaims } from '../policy/policy-claims.js';
import { compiledPolicy, onePolicy, readFacts, type NamedPolicy } from '../policy/policy-input.js';
import { EXIT, Misused, type Io } from '../verb.js';

const CASE_OPTIONS = ['--facts', '--on', '--decision'];

interface Case extends NamedPolicy {
  readonly on: string;
  readonly facts: Facts;
  readonly decisions: readonly string[] | undefined;
  readonly options: ReadonlyMap<string, string>;
}

/** `policy eval FILE --facts FACTS`: what a policy says of facts. */
export async function evaluatePolicy(args: readonly string[], io: Io): Promise<number> {
  const { policy, on, facts, decisions } = await caseOf(args, [], io);
  const evaluation = guarded(() => policy.evaluate(on, facts, decisions));
  io.out(JSON.stringify({ format: 'policy-evaluation/1', on, hash: policy.hash, ...evaluation }, null, 2));
  return evaluation.needs.length > 0 || evaluation.noRule.length > 0 ? EXIT.findings : EXIT.ok;
}

/** `policy why FILE --facts FACTS`: the whole way to each outcome. */
export async function whyPolicy(args: readonly string[], io: Io): Promise<number> {
  const { policy, on, facts, decisions } = await caseOf(args, [], io);
  const evaluation = guarded(() => policy.evaluate(on, facts, decisions, { trace: true }));
  const { outcomes, trace, needs, noRule } = evaluation;
  io.out(JSON.stringify({ format: 'policy-why/1', on, hash: policy.hash, outcomes, trace, needs, noRule }, null, 2));
  return needs.length > 0 || noRule.length > 0 ? EXIT.findings : EXIT.ok;
}

/** `policy why-not FILE --facts FACTS --outcome NAME=VALUE`: what stands against another outcome. */
export async function whyNotPolicy(args: readonly string[], io: Io): Promise<number> {
  const { policy, on, facts, options } = await caseOf(args, ['--outcome'], io);
  const wanted = options.get('--outcome');
  const cut = wanted?.indexOf('=') ?? -1;
  if (wanted === undefined || cut < 1)
    throw new Misused('Say which outcome: --outcome NAME=VALUE, as in --outcome remedy=refund.');
  const name = wanted.slice(0, cut).trim();
  const value = outcomeValue(policy.document, name, wanted.slice(cut + 1).trim());
  const answer = guarded(() => policy.whyNot(on, facts, { name, value }));
  io.out(JSON.stringify({ format: 'policy-why-not/1', on, hash: policy.hash, ...answer }, null, 2));
  return EXIT.ok;
}

async function caseOf(args: readonly string[], more: readonly string[], io: Io): Promise<Case> {
  const { operands, options } = readOptions(args, [...CASE_OPTIONS, ...more]);
  const file = options.get('--facts');
  if (file === undefined)
    throw new Misused('Name the facts: --facts FILE, a JSON object of names and values; - is standard input.');
  const named = await onePolicy(operands, io);
  const facts = await readFacts(file, io);
  const { governedBy } = named.policy.document;
  const on = options.get('--on') ?? facts[governedBy];
  if (typeof on !== 'string') {
    throw new Misused(
      `Say on which day: --on DATE, or give the fact "${governedBy}", which chooses the values of parameters.`,
    );
  }
  const decision = options.get('--decision');
  return { ...named, on, facts, options, decisions: decision === undefined ? undefined : [decision] };
}

function outcomeValue(document: PolicyDocument, name: string, text: string): OutcomeValue {
  const type: FactType | undefined = document.decisions.find(({ gives }) => Object.hasOwn(gives, name))?.gives[name];
  if (text === 'null') return null;
  if (type?.type === 'boolean') return text === 'true' ? true : text === 'false' ? false : text;
  return type?.type === 'integer' && /^-?\d+$/.test(text) ? Number(text) : text;
}

/** Turns what is wrong with the facts into bad input, in the words of the policy. */
function guarded<T>(work: () => T): T {
  try {
    return work();
  } catch (error) {
    if (error instanceof RangeError || error instanceof PolicyConflict) {
      throw new BadInput('the facts', [{ pointer: '#', detail: error.message }]);
    }
    throw error;
  }
}

/** `policy diff OLD NEW`: everything in which two versions differ. */
export async function diffPolicyFiles(args: readonly string[], io: Io): Promise<number> {
  const { operands, options, flags } = readOptions(args, ['--claims'], ['--json']);
  const [first, second] = operands;
  if (first === undefined || second === undefined || operands.length > 2)
    throw new Misused('Name two policies: the older and the newer.');
  const [was, becomes] = [await compiledPolicy(first, io), await compiledPolicy(second, io)];
  const file = options.get('--claims');
  const claims = file === undefined ? undefined : await readClaims(file, io);
  const { changes, sentences, incomplete } = comparePolicies(was.policy, becomes.policy);
  const sorted = changesByClaims(was.policy, becomes.policy, changes, claims);
  if (flags.has('--json')) {
    const hashes = { was: was.policy.hash, becomes: becomes.policy.hash };
    io.out(JSON.stringify({ format: 'policy-difference/1', ...hashes, changes: sorted, sentences, incomplete }));
  } else {
    for (const { detail, period, example, recentClaims } of sorted) {
      const parts = [
        detail,
        ...(period ? [`True ${periodWords(period)}.`] : []),
        ...(example ? [`Example: ${example.words}.`] : []),
        ...(recentClaims === undefined
          ? []
          : [`${recentClaims} of the claims ${recentClaims === 1 ? 'falls' : 'fall'} here.`]),
      ];
      io.out(parts.join(' '));
    }
    for (const sentence of sentences) io.out(sentence);
    if (sorted.length === 0 && sentences.length === 0) io.out('The two policies are the same.');
  }
  return sorted.length > 0 || sentences.length > 0 ? EXIT.findings : EXIT.ok;
}
