import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { Clock } from '../../platform/clock.js';
import type { Actor } from '../access.contract.js';

/** What is done to people and keys. */
export type AccessEventKind =
  'person-added' | 'person-changed' | 'person-shut-out' | 'person-let-in' | 'password-set' | 'key-made' | 'key-ended';

/** Writes down who did what to people and keys. Never changed; no secret is in it. */
@Injectable()
export class AccessEventStore {
  constructor(private readonly clock: Clock) {}

  async note(tx: EntityManager, actor: Actor, kind: AccessEventKind, body: object): Promise<void> {
    const { tenant, kind: of, id, name } = actor;
    // Nothing is given back, because a retailer's session may write here and not read.
    await tx.query(
      `insert into access_event (tenant_id, kind, at, actor, body) values ($1, $2, $3, $4::jsonb, $5::jsonb)`,
      [tenant, kind, this.clock.now().toString(), JSON.stringify({ kind: of, id, name }), JSON.stringify(body)],
    );
  }
}
