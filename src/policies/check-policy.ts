import type { Fault } from '../kernel/outcome.js';
import type { CheckedDocument } from '../platform/documents/document-lifecycle.js';
import { runExamples } from './domain/run-examples.js';
import { placeFaults } from './place-faults.js';
import { compilePolicy, type CompiledPolicy } from './policies.contract.js';
import type { PolicyVersionRow } from './store/policy-version.entity.js';

/** A draft may still fail its own examples; what is published may not. */
export function checkPolicy(document: object, purpose: 'draft' | 'publication'): CheckedDocument<PolicyVersionRow> {
  const outcome = compilePolicy(document);
  if (!outcome.ok) return { ok: false, faults: placeFaults(document, outcome.faults) };
  const faults = purpose === 'publication' ? failedExamples(outcome.policy) : [];
  if (faults.length > 0) return { ok: false, faults };
  const { document: body, hash } = outcome.policy;
  return { ok: true, content: { title: body.title, body, hash }, columns: { jurisdiction: body.jurisdiction } };
}

/** Each expectation of an example that is not met, placed in the document. */
export function failedExamples(policy: CompiledPolicy): Fault[] {
  return runExamples(policy).flatMap(({ id, differences }, index) =>
    differences.map((difference) => ({
      pointer: `#/examples/${index}/expect`,
      detail: `Example ${id}: ${difference}`,
    })),
  );
}
