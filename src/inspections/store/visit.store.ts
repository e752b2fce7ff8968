import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { VisitRow, VisitUnitRow } from './visit.entity.js';

/** A visit as it is planned: everything but what the day itself brings. */
export type PlannedVisit = Omit<
  VisitRow,
  'receipt' | 'receiptWords' | 'deliveredAt' | 'version' | 'createdAt' | 'updatedAt'
>;

/** What the receipt says. */
export type ReceiptColumns = Pick<VisitRow, 'receipt' | 'receiptWords' | 'deliveredAt'>;

/** Visits and their units. */
@Injectable()
export class VisitStore {
  async insert(tx: EntityManager, visit: PlannedVisit, units: readonly VisitUnitRow[]): Promise<void> {
    await tx.insert(VisitRow, { ...visit, custody: [...visit.custody] });
    await tx.insert(VisitUnitRow, [...units]);
  }

  async find(tx: EntityManager, tenant: string, id: string): Promise<VisitRow | null> {
    return tx.findOneBy(VisitRow, { tenantId: tenant, id });
  }

  /** Notes the receipt when the visit is still at that version. @returns false when somebody changed it meanwhile */
  async receive(tx: EntityManager, visit: VisitRow, receipt: ReceiptColumns): Promise<boolean> {
    const { tenantId, id, version } = visit;
    const { affected } = await tx.update(VisitRow, { tenantId, id, version }, { ...receipt, updatedAt: () => 'now()' });
    return affected === 1;
  }

  async unit(tx: EntityManager, tenant: string, id: string): Promise<VisitUnitRow | null> {
    return tx.findOneBy(VisitUnitRow, { tenantId: tenant, id });
  }

  /** Id of a company by its code. A retailer's people and keys see only their own. */
  async companyId(
    tx: EntityManager,
    tenant: string,
    kind: 'retailer' | 'carrier',
    code: string,
  ): Promise<string | undefined> {
    const rows = await tx.query<{ id: string }[]>(`select id from ${kind} where tenant_id = $1 and code = $2`, [
      tenant,
      code,
    ]);
    return rows[0]?.id;
  }
}
