import { changeTest, comparePolicies } from '../../policies/analysis.contract.js';
import type { CompiledPolicy, Facts } from '../../policies/policies.contract.js';
import type { RehearsedRegion } from '../../policies/rehearsals.contract.js';

/** A part of the difference between two versions, with the test whether a case lies in it. */
export interface RegionToCount {
  readonly decision: string;
  readonly isInside: (on: string, facts: Facts) => boolean;
  readonly shown: Omit<RehearsedRegion, 'claims'>;
}

/** Regions that are counted; a difference of more parts is better read decision by decision. */
const MOST_REGIONS = 24;

/** The regions in which a draft decides otherwise than another version, in an order that depends on the two alone. */
export function rehearsedRegions(was: CompiledPolicy, becomes: CompiledPolicy): RegionToCount[] {
  return comparePolicies(was, becomes)
    .changes.slice(0, MOST_REGIONS)
    .map((change) => ({
      decision: change.decision,
      isInside: changeTest(was, becomes, change),
      shown: {
        decision: change.decision,
        says: change.detail,
        was: change.was.words,
        becomes: change.becomes.words,
      },
    }));
}

/** Finds the document of the version whose regions are counted. $1 tenant, $2 code, $3 version. */
export const COMPARED_DOCUMENT = 'select body from policy_version where tenant_id = $1 and code = $2 and version = $3';
