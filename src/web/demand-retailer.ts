import type { Actor } from '../access/access.contract.js';
import { Refused } from '../platform/http/problems.js';

/** The desk has pages of its own, which show more. @throws Refused for anybody who is not of a retailer */
export function demandRetailer(actor: Actor): void {
  if (actor.retailer === undefined)
    throw new Refused('not-allowed', 'These are the pages of a retailer. The desk has its own under /desk.');
}
