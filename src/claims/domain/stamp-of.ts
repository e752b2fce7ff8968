import type { Stamp } from '../claims.contract.js';

/** Who an actor is, as it goes into the event trail: nothing of roles or secrets. */
export function stampOf(actor: Stamp): Stamp {
  return { kind: actor.kind, id: actor.id, name: actor.name };
}

/** The service's own hand in the event trail. */
export const SERVICE_STAMP: Stamp = { kind: 'service', id: 'as-noted', name: 'As Noted' };
