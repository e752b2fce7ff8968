import { randomUUID } from 'node:crypto';
import { Injectable } from '@nestjs/common';
import { IsNull, type EntityManager } from 'typeorm';
import { nextLook, type ClockRecord } from '../domain/clock-watch.js';
import type { Happening, NotedHappening } from '../domain/happenings.js';
import { ClaimClockRow, ClaimHappeningRow } from './claim-clock.entity.js';

/** Whose clocks these are. */
export interface OfClaim {
  readonly tenantId: string;
  readonly claimId: string;
}

/** Clocks of claims and what happened to claims, in PostgreSQL. Callers hold the claim's row lock. */
@Injectable()
export class ClaimClockStore {
  /** The claim's clocks, as the policy orders them no longer: by id and turn. */
  of(tx: EntityManager, of: OfClaim): Promise<ClaimClockRow[]> {
    return tx.find(ClaimClockRow, { where: { ...of }, order: { clockId: 'ASC', occurrence: 'ASC' } });
  }

  /** Writes the clocks as they stand; rows that say the same already are left alone. @returns the rows as they are now */
  async write(
    tx: EntityManager,
    of: OfClaim,
    change: { readonly known: readonly ClaimClockRow[]; readonly records: readonly ClockRecord[]; readonly at: string },
  ): Promise<ClaimClockRow[]> {
    const { known, records, at } = change;
    const rows: ClaimClockRow[] = [];
    const added: ClaimClockRow[] = [];
    for (const record of records) {
      const before = known.find(
        ({ clockId, occurrence }) => clockId === record.clockId && occurrence === record.occurrence,
      );
      const stands = {
        ...record,
        warnsAt: [...record.warnsAt],
        warnedAt: [...record.warnedAt],
        nextAt: nextLook(record),
      };
      const next: ClaimClockRow = { id: before?.id ?? randomUUID(), ...of, ...stands, updatedAt: at };
      const row = before !== undefined && same(before, next) ? before : next;
      rows.push(row);
      if (before === undefined) added.push(row);
      else if (row !== before)
        await tx.update(ClaimClockRow, { tenantId: of.tenantId, id: row.id }, { ...stands, updatedAt: at });
    }
    if (added.length > 0) await tx.insert(ClaimClockRow, added);
    return rows;
  }

  /**
   * Notes that something was raised, unless somebody else did so since the row was read.
   * @returns whether it is ours to tell
   */
  async raised(tx: EntityManager, row: ClaimClockRow, after: ClockRecord, at: string): Promise<boolean> {
    const where = { tenantId: row.tenantId, id: row.id, missedAt: row.missedAt ?? IsNull(), updatedAt: row.updatedAt };
    const change = { warnedAt: [...after.warnedAt], missedAt: after.missedAt, nextAt: nextLook(after), updatedAt: at };
    const { affected } = await tx.update(ClaimClockRow, where, change);
    return affected === 1;
  }

  /** Has the watch look at every open clock of a tenant at once. */
  async lookSoon(tx: EntityManager, tenant: string, at: string): Promise<void> {
    await tx.query(`update claim_clock set next_at = $2 where tenant_id = $1 and state = 'running'`, [tenant, at]);
  }

  /** Puts off the watch's next look at a claim. */
  async putOff(tx: EntityManager, of: OfClaim, now: string, until: string): Promise<void> {
    await tx.query(`update claim_clock set next_at = $4 where tenant_id = $1 and claim_id = $2 and next_at <= $3`, [
      of.tenantId,
      of.claimId,
      now,
      until,
    ]);
  }

  /** Claims of all tenants whose clocks want a look. The transaction must hold the watch's credential and no tenant. */
  wanting(tx: EntityManager, at: string, limit: number): Promise<OfClaim[]> {
    return tx.query<OfClaim[]>(
      `select tenant_id as "tenantId", claim_id as "claimId" from claim_clock
       where next_at is not null and next_at <= $1 group by tenant_id, claim_id order by min(next_at), claim_id limit $2`,
      [at, limit],
    );
  }

  /** What was noted about a claim, oldest note first. */
  async happenings(tx: EntityManager, of: OfClaim): Promise<ClaimHappeningRow[]> {
    return tx.find(ClaimHappeningRow, { where: { ...of }, order: { n: 'ASC' } });
  }

  async addHappening(
    tx: EntityManager,
    of: OfClaim,
    noted: NotedHappening & { readonly words: string | null; readonly by: string; readonly notedAt: string },
  ): Promise<void> {
    const n = (await tx.countBy(ClaimHappeningRow, { ...of })) + 1;
    const { what, at, words, by, notedAt } = noted;
    const row: ClaimHappeningRow = { ...of, n, what: what satisfies Happening, at, words, notedBy: by, notedAt };
    await tx.insert(ClaimHappeningRow, row);
  }
}

/** Whether two rows say the same, apart from when it was written. */
function same(a: ClaimClockRow, b: ClaimClockRow): boolean {
  return JSON.stringify(said(a)) === JSON.stringify(said(b));
}

function said(row: ClaimClockRow): unknown[] {
  const { title, ground, source, owedBy, lapse, effect, state, startedAt, pausedAt, stoppedAt, lastDay, endsAt } = row;
  const raised = [row.warnsAt, row.warnedAt, row.missedAt, row.nextAt];
  return [title, ground, source, owedBy, lapse, effect, state, startedAt, pausedAt, stoppedAt, lastDay, endsAt, raised];
}
