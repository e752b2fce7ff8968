/** Conditions on records of judgements, for whoever reads many of them. They speak of `decision_record r`. */

/** The place of the claim lies in the policy's, and no policy of a smaller place governed it. @param place parameter of the statement */
export function inPlace(place: string): string {
  return `(r.jurisdiction = ${place} or r.jurisdiction like ${place} || '-%')
    and r.policy_jurisdiction in (${place}, left(${place}, 2))`;
}

/** The last word on its claim. */
export const NEWEST = `not exists (select 1 from decision_record later where later.claim_id = r.claim_id and later.n = r.n + 1)`;

/** Columns of a record under the names by which it is known in the program. */
export const RECORD_COLUMNS = `id, tenant_id "tenantId", claim_id "claimId", n, assessment_id "assessmentId", jurisdiction,
  governed_on::text "governedOn", policy_version_id "policyVersionId", policy_code "policyCode", policy_version "policyVersion",
  policy_hash "policyHash", policy_jurisdiction "policyJurisdiction", semantics, facts, facts_hash "factsHash", outcome,
  outcome_hash "outcomeHash", trace, trace_hash "traceHash", actor, made_at "madeAt", hash`;
