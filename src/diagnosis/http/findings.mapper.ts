import { may, type Actor } from '../../access/access.contract.js';
import type { InspectionFindings } from '../diagnosis.service.js';
import type { FindingsView } from './findings.dto.js';

/**
 * What somebody may see of the findings. Numbers are for those who weigh them; a crew that read "81 % transit" would look for transit,
 * so it is told what to check and nothing else.
 */
export function toFindingsView(actor: Actor, found: InspectionFindings): FindingsView {
  if (!may(actor, 'policy.read')) {
    return { nextChecks: found.nextChecks.map(({ says, item, effortSeconds }) => ({ says, item, effortSeconds })) };
  }
  const { evidenceModel, policy, findings, nextChecks } = found;
  return { evidenceModel, policy, findings, nextChecks };
}
