import { toDocumentSummary } from '../../platform/documents/document-version.dto.js';
import type { PolicyVersionRow } from '../store/policy-version.entity.js';
import type { PolicySummary, PolicyVersion } from './policy.dto.js';

/** A row as a list shows it. */
export function toPolicySummary(row: PolicyVersionRow): Readonly<PolicySummary> {
  return { ...toDocumentSummary(row), jurisdiction: row.jurisdiction, effectiveFrom: row.effectiveFrom };
}

/** A row with its document. */
export function toPolicyVersion(row: PolicyVersionRow): PolicyVersion {
  return { ...toPolicySummary(row), document: row.body };
}
