import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { DocumentVersionStore } from '../../platform/documents/document-version.store.js';
import { EvidenceModelVersionRow } from './evidence-model-version.entity.js';

/** Versions of evidence models. */
@Injectable()
export class EvidenceModelVersionStore extends DocumentVersionStore<EvidenceModelVersionRow> {
  constructor() {
    super(EvidenceModelVersionRow);
  }

  /** The newest published version that has begun. @param on UTC date, YYYY-MM-DD */
  async inForce(tx: EntityManager, tenant: string, code: string, on: string): Promise<EvidenceModelVersionRow | null> {
    return tx
      .createQueryBuilder(EvidenceModelVersionRow, 'v')
      .where('v.tenantId = :tenant and v.code = :code and v.publishedAt is not null', { tenant, code })
      .andWhere('(v.effectiveFrom is null or v.effectiveFrom <= :on)', { on })
      .orderBy('v.version', 'DESC')
      .limit(1)
      .getOne();
  }
}
