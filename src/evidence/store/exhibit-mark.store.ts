import { Injectable } from '@nestjs/common';
import { In, type EntityManager } from 'typeorm';
import { Refused } from '../../platform/http/problems.js';
import { ExhibitMarkRow, ExhibitMarkWithdrawalRow } from './exhibit-mark.entity.js';

/** A mark, and that it was taken back, if it was. */
export interface StoredMark {
  readonly row: ExhibitMarkRow;
  readonly withdrawal: ExhibitMarkWithdrawalRow | undefined;
}

/** Marks in PostgreSQL. Rows are only ever added. */
@Injectable()
export class ExhibitMarkStore {
  async add(tx: EntityManager, row: ExhibitMarkRow): Promise<void> {
    await tx.insert(ExhibitMarkRow, row);
  }

  /** @throws Refused not-found */
  async find(tx: EntityManager, tenant: string, exhibitId: string, id: string): Promise<StoredMark> {
    const found = (await this.ofExhibits(tx, tenant, [exhibitId])).find(({ row }) => row.id === id);
    if (!found) throw new Refused('not-found', 'There is no mark with this id on this photo.');
    return found;
  }

  /** Marks of exhibits in the order in which they were made. */
  async ofExhibits(tx: EntityManager, tenant: string, exhibitIds: readonly string[]): Promise<StoredMark[]> {
    if (exhibitIds.length === 0) return [];
    const rows = await tx.find(ExhibitMarkRow, {
      where: { tenantId: tenant, exhibitId: In([...exhibitIds]) },
      order: { madeAt: 'ASC', id: 'ASC' },
    });
    const withdrawals = await tx.findBy(ExhibitMarkWithdrawalRow, {
      tenantId: tenant,
      markId: In(rows.map(({ id }) => id)),
    });
    const byMark = new Map(withdrawals.map((withdrawal) => [withdrawal.markId, withdrawal]));
    return rows.map((row) => ({ row, withdrawal: byMark.get(row.id) }));
  }

  /** Takes a mark back once; doing it again changes nothing. */
  async withdraw(tx: EntityManager, row: ExhibitMarkWithdrawalRow): Promise<void> {
    await tx.createQueryBuilder().insert().into(ExhibitMarkWithdrawalRow).values(row).orIgnore().execute();
  }
}
