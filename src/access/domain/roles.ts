import type { Fault } from '../../kernel/outcome.js';
import type { Role } from '../../kernel/vocabulary.js';

/**
 * Faults of a set of roles. A retailer's person works for the other side, so that role stands alone and needs the retailer; all
 * other roles are the tenant's own people and have none.
 */
export function roleFaults(roles: readonly Role[], retailer: string | undefined): Fault[] {
  const faults: Fault[] = [];
  const forRetailer = roles.includes('retailer');
  if (roles.length === 0) faults.push({ pointer: '#/roles', detail: 'Give at least one role.' });
  if (forRetailer && roles.length > 1) {
    faults.push({ pointer: '#/roles', detail: 'The role retailer cannot be combined with others.' });
  }
  if (forRetailer && retailer === undefined) {
    faults.push({ pointer: '#/retailer', detail: 'Say which retailer the person works for.' });
  }
  if (!forRetailer && retailer !== undefined) {
    faults.push({ pointer: '#/retailer', detail: 'Only the role retailer belongs to a retailer. Leave it out.' });
  }
  return faults;
}
