import { Injectable } from '@nestjs/common';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { onConstraint } from '../platform/db/database-errors.js';
import { scopeOf } from '../platform/http/caller.js';
import { Invalid, Refused } from '../platform/http/problems.js';
import { RETAILER_KEY_SCOPES, type Actor, type KeyScope } from './access.contract.js';
import { demand } from './access.service.js';
import { newToken } from './crypto/tokens.js';
import { AccessEventStore } from './store/access-event.store.js';
import { ApiKeyRow } from './store/access.entities.js';

export interface NewKey {
  readonly name: string;
  readonly scopes: readonly KeyScope[];
  /** uuid: the key sees only this retailer's things */
  readonly retailer?: string | undefined;
  readonly expiresAt?: Temporal.Instant | undefined;
}

/** Letters of a key that stay readable, so that people can tell keys apart: prefix and eight more. */
const SHOWN = 12;

/**
 * Keys for other programs. The secret is shown once; only its hash is kept. Administrators keep those of the whole tenant, a retailer's
 * people those that are bound to their company.
 */
@Injectable()
export class ApiKeysService {
  constructor(
    private readonly db: Database,
    private readonly clock: Clock,
    private readonly trail: AccessEventStore,
  ) {}

  /** All keys that are the actor's to keep, also ended ones, newest first; at most 200. @throws Refused `not-allowed` */
  async list(actor: Actor): Promise<readonly ApiKeyRow[]> {
    const own = reachOf(actor);
    return this.db.inTenant(scopeOf(actor), (tx) =>
      tx.find(ApiKeyRow, { where: own, order: { createdAt: 'DESC', id: 'DESC' }, take: 200 }),
    );
  }

  /**
   * Makes a key. One that a retailer's person makes is bound to that retailer, whatever is asked for.
   * @returns the row and the secret. @throws Refused `not-allowed`; Invalid when the retailer is unknown, the end lies in the past, or
   * a retailer's key is to have a scope that is of no use to it
   */
  async create(actor: Actor, key: NewKey): Promise<{ readonly row: ApiKeyRow; readonly secret: string }> {
    const retailerId = reachOf(actor).retailerId ?? key.retailer ?? null;
    const now = this.clock.now();
    if (actor.retailer !== undefined && key.scopes.some((scope) => !RETAILER_KEY_SCOPES.includes(scope))) {
      throw new Invalid([
        { pointer: '#/scopes', detail: `A retailer’s key may have: ${RETAILER_KEY_SCOPES.join(', ')}.` },
      ]);
    }
    if (key.expiresAt !== undefined && Temporal.Instant.compare(key.expiresAt, now) <= 0) {
      throw new Invalid([{ pointer: '#/expiresAt', detail: 'The end must lie in the future.' }]);
    }
    const token = newToken('key');
    const row = await this.db.inTenant(scopeOf(actor), async (tx) => {
      const inserted = await onConstraint(
        tx.insert(ApiKeyRow, {
          tenantId: actor.tenant,
          retailerId,
          name: key.name,
          prefix: token.text.slice(0, SHOWN),
          keyHash: token.hash,
          scopes: [...key.scopes],
          createdBy: actor.id,
          createdAt: now.toString(),
          expiresAt: key.expiresAt?.toString() ?? null,
        }),
        {
          api_key_tenant_id_retailer_id_fkey: () =>
            new Invalid([{ pointer: '#/retailer', detail: 'There is no such retailer.' }]),
        },
      );
      const [stored] = await tx.find(ApiKeyRow, { where: { id: String(inserted.identifiers[0]?.['id']) } });
      if (stored === undefined) throw new Error('a key that was just written is gone');
      await this.trail.note(tx, actor, 'key-made', { ...about(stored), scopes: stored.scopes });
      return stored;
    });
    return { row, secret: token.text };
  }

  /** From now on the key opens nothing. Ending it again changes nothing. @throws Refused `not-found` */
  async end(actor: Actor, id: string): Promise<void> {
    const own = reachOf(actor);
    await this.db.inTenant(scopeOf(actor), async (tx) => {
      const [key] = await tx.find(ApiKeyRow, { where: { id, ...own } });
      if (key === undefined) throw new Refused('not-found', 'There is no such key.');
      if (key.endedAt !== null) return;
      await tx.update(ApiKeyRow, { id }, { endedAt: this.clock.now().toString() });
      await this.trail.note(tx, actor, 'key-ended', about(key));
    });
  }
}

function about({ id, name, retailerId }: ApiKeyRow): object {
  return { key: id, name, ...(retailerId === null ? {} : { retailer: retailerId }) };
}

/** Which keys an actor may keep: a retailer's person those of the company. @throws Refused `not-allowed` */
function reachOf(actor: Actor): { readonly retailerId?: string } {
  const { tenant, retailer } = actor;
  demand(actor, retailer === undefined ? 'key.manage' : 'own-key.manage', { tenant, retailer });
  return retailer === undefined ? {} : { retailerId: retailer };
}
