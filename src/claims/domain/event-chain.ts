import { contentHash } from '../../kernel/canonical-json.js';
import type { ClaimEvent } from '../claims.contract.js';

/** The hash before the first event of a chain. */
export const GENESIS_HASH = '0'.repeat(64);

/** An event before it is chained. */
export type NewEvent = Omit<ClaimEvent, 'n' | 'previousHash' | 'hash'>;

/** Where a chain stops being what was written, and how. */
export interface ChainFault {
  readonly claim: string;
  readonly n: number;
  readonly detail: string;
}

/** Chains an event to the one before it (null for the first). */
export function nextEvent(previous: Pick<ClaimEvent, 'n' | 'hash'> | null, event: NewEvent): ClaimEvent {
  const unsealed = { ...event, n: (previous?.n ?? 0) + 1, previousHash: previous?.hash ?? GENESIS_HASH };
  return { ...unsealed, hash: contentHash(unsealed) };
}

/**
 * Checks one claim's events in order: numbered from 1 without a gap, each carrying the hash of the one before, and each hash
 * equal to the content it covers. The last hash may be compared with a copy kept elsewhere to notice a cut-off tail.
 * @returns the first fault, or undefined when the chain is whole.
 */
export function verifyChain(claim: string, events: readonly ClaimEvent[]): ChainFault | undefined {
  let previous: ClaimEvent | null = null;
  for (const event of events) {
    const expected = (previous?.n ?? 0) + 1;
    if (event.n !== expected) return { claim, n: expected, detail: `event ${expected} is missing` };
    if (event.claim !== claim) return { claim, n: event.n, detail: `event ${event.n} belongs to another claim` };
    if (event.previousHash !== (previous?.hash ?? GENESIS_HASH)) {
      return { claim, n: event.n, detail: `event ${event.n} does not follow the event before it` };
    }
    const { hash, ...covered } = event;
    if (contentHash(covered) !== hash)
      return { claim, n: event.n, detail: `event ${event.n} was altered after it was written` };
    previous = event;
  }
  return undefined;
}
