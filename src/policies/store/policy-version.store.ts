import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { DocumentVersionStore } from '../../platform/documents/document-version.store.js';
import { PolicyVersionRow } from './policy-version.entity.js';

/** Versions of policies, and which of them governs a place on a day. */
@Injectable()
export class PolicyVersionStore extends DocumentVersionStore<PolicyVersionRow> {
  constructor() {
    super(PolicyVersionRow);
  }

  /**
   * The published version that governs on a day: of the jurisdictions given the first that has one, then the latest date of
   * effect, then the newest version.
   * @param jurisdictions most specific first, e.g. ['US-CA', 'US']
   * @param on local date, YYYY-MM-DD
   */
  async inForce(
    tx: EntityManager,
    tenant: string,
    jurisdictions: readonly string[],
    on: string,
  ): Promise<PolicyVersionRow | null> {
    return tx
      .createQueryBuilder(PolicyVersionRow, 'p')
      .where('p.tenantId = :tenant and p.publishedAt is not null', { tenant })
      .andWhere('p.jurisdiction = any(:jurisdictions) and p.effectiveFrom <= :on', { jurisdictions, on })
      .orderBy('array_position(:jurisdictions::text[], p.jurisdiction)')
      .addOrderBy('p.effectiveFrom', 'DESC')
      .addOrderBy('p.version', 'DESC')
      .limit(1)
      .getOne();
  }

  /** The published version of one policy that governs on a day. */
  async ofCodeInForce(tx: EntityManager, tenant: string, code: string, on: string): Promise<PolicyVersionRow | null> {
    return tx
      .createQueryBuilder(PolicyVersionRow, 'p')
      .where('p.tenantId = :tenant and p.code = :code and p.publishedAt is not null', { tenant, code })
      .andWhere('p.effectiveFrom <= :on', { on })
      .orderBy('p.effectiveFrom', 'DESC')
      .addOrderBy('p.version', 'DESC')
      .limit(1)
      .getOne();
  }
}
