import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { Clock } from '../platform/clock.js';
import type { Config } from '../platform/config/config.js';
import { InjectConfig } from '../platform/config/inject-config.js';
import { Database } from '../platform/db/database.js';
import { onConstraint } from '../platform/db/database-errors.js';
import { Refused } from '../platform/http/problems.js';
import { actorRef, judge, type Act, type Actor, type Thing } from './access.contract.js';
import { newToken } from './crypto/tokens.js';
import { insertPerson, prepare, type NewPerson } from './people.service.js';
import { TenantRow, VisitLinkRow } from './store/access.entities.js';

export interface NewVisitLink {
  /** uuid */
  readonly visit: string;
  readonly crewName: string;
  /** Hours until it stops counting; the configured length when absent. At most 720. */
  readonly hours?: number | undefined;
}

/** A link as it is handed out: the secret is shown once. */
export interface VisitLink {
  readonly id: string;
  readonly visit: string;
  readonly crewName: string;
  readonly token: string;
  /** Where the crew opens it. The secret stands in the fragment, which browsers keep to themselves. */
  readonly url: string;
  /** RFC 3339 */
  readonly expiresAt: string;
}

/** A link without its secret. */
export type VisitLinkView = Omit<VisitLink, 'token' | 'url'> & {
  readonly createdAt: string;
  readonly endedAt?: string;
};

/** Refuses what the actor may not do. @throws Refused with the code of the verdict */
export function demand(actor: Actor, act: Act, thing?: Thing): void {
  const verdict = judge(actor, act, thing);
  if (verdict !== 'yes') throw new Refused(verdict, SAID[verdict]);
}

const SAID = {
  'not-found': 'Check the address. What belongs to somebody else is not shown.',
  'not-allowed': 'Your role does not include this. Ask an administrator if it should.',
  'own-claim': 'Leave the decision to a colleague: you filed this claim.',
  'same-person': 'Ask a colleague to look at it: the second person must be somebody else.',
} as const;

/** What other modules need of access: judging acts, visit links, and setting tenants and people up. */
@Injectable()
export class AccessService {
  constructor(
    private readonly db: Database,
    private readonly clock: Clock,
    @InjectConfig() private readonly config: Config,
  ) {}

  /** Same as the function `demand`. */
  demand(actor: Actor, act: Act, thing?: Thing): void {
    demand(actor, act, thing);
  }

  /** Makes a link for a crew, inside the caller's transaction. @throws Refused `not-found` when the visit is not the tenant's */
  async createVisitLink(tx: EntityManager, actor: Actor, link: NewVisitLink): Promise<VisitLink> {
    const token = newToken('link');
    const now = this.clock.now();
    const expiresAt = now.add({ hours: link.hours ?? this.config.lifetimes.visitLinkHours }).toString();
    const inserted = await onConstraint(
      tx.insert(VisitLinkRow, {
        tenantId: actor.tenant,
        visitId: link.visit,
        tokenHash: token.hash,
        crewName: link.crewName,
        createdBy: actorRef(actor),
        createdAt: now.toString(),
        expiresAt,
      }),
      { visit_link_tenant_id_visit_id_fkey: () => new Refused('not-found', 'There is no such visit.') },
    );
    return {
      id: String(inserted.identifiers[0]?.['id']),
      visit: link.visit,
      crewName: link.crewName,
      token: token.text,
      url: `${this.config.publicUrl}/visit#${token.text}`,
      expiresAt,
    };
  }

  /** Links of a visit, newest first, without their secrets. */
  async visitLinks(actor: Actor, visit: string): Promise<readonly VisitLinkView[]> {
    const rows = await this.db.inTenant({ tenant: actor.tenant }, (tx) =>
      tx.find(VisitLinkRow, { where: { visitId: visit }, order: { createdAt: 'DESC', id: 'DESC' }, take: 200 }),
    );
    return rows.map((row) => ({
      id: row.id,
      visit: row.visitId,
      crewName: row.crewName,
      createdAt: row.createdAt,
      expiresAt: row.expiresAt,
      ...(row.endedAt === null ? {} : { endedAt: row.endedAt }),
    }));
  }

  /** From now on the link opens nothing. @throws Refused `not-found` */
  async endVisitLink(actor: Actor, visit: string, id: string): Promise<void> {
    await this.db.inTenant({ tenant: actor.tenant }, async (tx) => {
      const [row] = await tx.find(VisitLinkRow, { where: { id, visitId: visit } });
      if (row === undefined) throw new Refused('not-found', 'There is no such link.');
      if (row.endedAt === null) await tx.update(VisitLinkRow, { id }, { endedAt: this.clock.now().toString() });
    });
  }

  /** Opens a tenant. @param tenant.id uuid. Opening it again under the same id changes nothing. */
  async openTenant(tenant: { readonly id: string; readonly name: string; readonly sample: boolean }): Promise<void> {
    await this.db.inTenant({ tenant: tenant.id }, async (tx) => {
      if (await tx.existsBy(TenantRow, { id: tenant.id })) return;
      await tx.insert(TenantRow, { ...tenant, createdAt: this.clock.now().toString() });
    });
  }

  /**
   * Adds a person, in the open transaction where there is one. Checks roles and password like the administrators' own route.
   * @returns the person's id
   */
  async addPerson(tenant: string, person: NewPerson & { readonly id?: string }): Promise<string> {
    const prepared = await prepare(person);
    const row = person.id === undefined ? prepared : { ...prepared, id: person.id };
    return this.db.inTenant({ tenant }, async (tx) => (await insertPerson(tx, tenant, row)).id);
  }
}
