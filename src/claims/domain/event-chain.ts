import { contentHash } from '../../kernel/canonical-json.js';
import type { ClaimEvent } from '../claims.contract.js';

/** The hash before the first event of a chain. */
export const GENESIS_HASH = '0'.repeat(64);

/** An event before it is chained. */
export type NewEvent = Omit<ClaimEvent, 'n' | 'previousHash' | 'hash'>;

/** What every event of a chained history has; its hash covers everything else in it. */
type Link = Pick<ClaimEvent, 'n' | 'previousHash' | 'hash'>;

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
  const fault = linkFault(events);
  const stray = events.find((event) => event.claim !== claim);
  if (stray !== undefined && (fault === undefined || stray.n <= fault.n))
    return { claim, n: stray.n, detail: `event ${stray.n} belongs to another claim` };
  return fault && { claim, ...fault };
}

/**
 * The same for the links of any history that is chained in this way, such as that of a recovery.
 * @returns the first fault, or undefined when the chain is whole.
 */
export function linkFault(events: readonly Link[]): Omit<ChainFault, 'claim'> | undefined {
  let previous: Link | null = null;
  for (const event of events) {
    const { n } = event;
    const expected: number = (previous?.n ?? 0) + 1;
    if (n !== expected) return { n: expected, detail: `event ${expected} is missing` };
    if (event.previousHash !== (previous?.hash ?? GENESIS_HASH))
      return { n, detail: `event ${n} does not follow the event before it` };
    const { hash, ...covered } = event;
    if (contentHash(covered) !== hash) return { n, detail: `event ${n} was altered after it was written` };
    previous = event;
  }
  return undefined;
}
