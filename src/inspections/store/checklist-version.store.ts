import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { DocumentVersionStore } from '../../platform/documents/document-version.store.js';
import { ChecklistVersionRow } from './checklist-version.entity.js';

/** Versions of checklists. */
@Injectable()
export class ChecklistVersionStore extends DocumentVersionStore<ChecklistVersionRow> {
  constructor() {
    super(ChecklistVersionRow);
  }

  /** @param id uuid of the version, as inspections keep it */
  async byId(tx: EntityManager, tenant: string, id: string): Promise<ChecklistVersionRow | null> {
    return tx.findOneBy(ChecklistVersionRow, { tenantId: tenant, id });
  }
}
