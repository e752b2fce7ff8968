import { shippedDocument } from '../../src/platform/files/shipped-documents.js';
import {
  compilePolicy,
  type CompiledPolicy,
  type Evaluation,
  type Facts,
  type PolicyDocument,
} from '../../src/policies/policies.contract.js';

/** A policy that comes with the service, by the two letters of its jurisdiction. */
export function shippedPolicy(of: 'us' | 'eu' | 'uk'): CompiledPolicy {
  const document = shippedDocument('policy', `${of}-powered-furniture`)?.json as PolicyDocument | undefined;
  const outcome = compilePolicy(document);
  if (!outcome.ok) throw new Error(outcome.faults.map(({ detail }) => detail).join('; '));
  return outcome.policy;
}

/** A motor that was made faulty, seen at unboxing, told to the carrier in time, with every paper in order. */
const PLAIN: Facts = {
  ground: 'dead on arrival',
  component: 'motor',
  origin: 'manufacture',
  'origin share': 9_000,
  finding: 'settled',
  severity: 'functional',
  receipt: 'clean',
  noted: false,
  'found at': 'unboxing',
  'days to notice': 1,
  'business days to notice': 1,
  packaging: 'kept',
  'impact indicator': 'intact',
  'tilt indicator': 'intact',
  'steps followed': true,
  'origin condition': 'clean',
  'evidence grade': 'strong',
  'safety stop': false,
  'age months': 0,
  'days since delivery': 1,
  cover: 'full',
  'failed repairs': 0,
  spare: true,
  'part in stock': true,
  'part price': '100',
  'price paid': '1200',
  'customer fits': true,
  opened: true,
  'return reason': 'none',
  wished: false,
  option: 'part',
  'delivered on': '2026-03-02',
};

/** What decisions of a policy come to for the plain case with some facts changed. Facts that a policy does not declare are not shown to it. */
export function decided(policy: CompiledPolicy, decisions: readonly string[], changes: Facts = {}): Evaluation {
  const facts = { ...PLAIN, ...changes };
  const shown = Object.entries(facts).filter(([name]) => Object.hasOwn(policy.document.facts, name));
  return policy.evaluate(String(facts['delivered on']), Object.fromEntries(shown), decisions);
}

/** Whether the policy admits a remedy, at which rank, and by which rule. */
export function optionOf(
  policy: CompiledPolicy,
  option: string,
  changes: Facts = {},
): { readonly admissible: unknown; readonly rank: unknown; readonly rule: string | undefined } {
  const { outcomes, fired } = decided(policy, ['remedy option'], { ...changes, option });
  const rule = fired.find(({ decision }) => decision === 'remedy option')?.rule;
  return { admissible: outcomes['admissible'], rank: outcomes['rank'], rule };
}

/** The remedies that a policy admits, best first. */
export function admitted(policy: CompiledPolicy, changes: Facts = {}): string[] {
  return ['refund', 'allowance', 'part', 'unit', 'visit', 'none']
    .map((remedy) => ({ remedy, ...optionOf(policy, remedy, changes) }))
    .filter(({ admissible }) => admissible === true)
    .sort((a, b) => Number(a.rank) - Number(b.rank))
    .map(({ remedy }) => remedy);
}

/** Who answers under a policy: the mode and the party that it names. */
export function answering(policy: CompiledPolicy, changes: Facts = {}): string {
  const { outcomes } = decided(policy, ['responsibility'], changes);
  const { mode, party } = outcomes;
  return party === null || party === undefined ? String(mode) : `${String(mode)}: ${String(party)}`;
}
