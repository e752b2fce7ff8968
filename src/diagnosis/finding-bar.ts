import { Refused } from '../platform/http/problems.js';
import type { CompiledPolicy } from '../policies/policies.contract.js';
import type { FindingBar } from './diagnosis.contract.js';

/** When the service may speak for itself, as a policy says on a day. @throws Refused `policy-invalid` when it does not say */
export function findingBar(policy: CompiledPolicy, on: string): FindingBar {
  const number = (name: string): number => {
    const text = policy.parameter(name, on);
    if (text !== undefined) return Number(text);
    throw new Refused(
      'policy-invalid',
      `The policy ${policy.document.id} has no parameter "${name}" in force on ${on}. Add it.`,
    );
  };
  return {
    probability: number('bar probability'),
    marginDecibans: number('bar margin decibans'),
    surprise: number('bar surprise'),
    worthBits: number('worth bits'),
  };
}
