import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { PhoneFactRow, PhoneRow } from './phone.entity.js';

/** Where a fact stands, as a receipt tells it. */
export type FactStanding = Pick<PhoneFactRow, 'id' | 'hash' | 'state' | 'problem'>;

/** A phone as it is heard. */
export type HeardPhone = Omit<PhoneRow, 'takenTo' | 'firstHeardAt' | 'lostAt' | 'lostBy' | 'lostBecause'>;

/** Phones and what they said. */
@Injectable()
export class PhoneStore {
  /** Makes everybody who brings facts to this visit wait for each other until the transaction ends. */
  async queue(tx: EntityManager, visitId: string): Promise<void> {
    await tx.query(`select pg_advisory_xact_lock(hashtextextended($1, 0))`, [`phones of ${visitId}`]);
  }

  /** Notes that a phone was heard. @returns the phone as it stands now */
  async hear(tx: EntityManager, phone: HeardPhone): Promise<PhoneRow> {
    await tx.query(
      `insert into phone (visit_id, id, tenant_id, crew, counted_to, clock_ahead_seconds, first_heard_at, last_heard_at)
       values ($1, $2, $3, $4, $5, $6, $7, $7)
       on conflict (visit_id, id) do update set crew = excluded.crew, clock_ahead_seconds = excluded.clock_ahead_seconds,
         counted_to = greatest(phone.counted_to, excluded.counted_to), last_heard_at = excluded.last_heard_at`,
      [
        phone.visitId,
        phone.id,
        phone.tenantId,
        phone.crew,
        phone.countedTo,
        phone.clockAheadSeconds,
        phone.lastHeardAt,
      ],
    );
    return tx.findOneByOrFail(PhoneRow, { tenantId: phone.tenantId, visitId: phone.visitId, id: phone.id });
  }

  /** Keeps a fact unless its id, or its number on that phone, is taken. @returns whether it was kept now */
  async add(tx: EntityManager, fact: PhoneFactRow): Promise<boolean> {
    const statement = tx.createQueryBuilder().insert().into(PhoneFactRow).values(fact).orIgnore();
    const { raw } = await statement.returning('id').updateEntity(false).execute();
    return (raw as unknown[]).length === 1;
  }

  /** Where facts stand; of those that are not here or not visible, nothing. */
  async standing(tx: EntityManager, tenant: string, ids: readonly string[]): Promise<FactStanding[]> {
    const sql = 'select id, hash, state, problem from phone_fact where tenant_id = $1 and id = any($2::uuid[])';
    return tx.query(sql, [tenant, ids]);
  }

  /** The phones of a visit, in a steady order. */
  async ofVisit(tx: EntityManager, tenant: string, visitId: string): Promise<PhoneRow[]> {
    return tx.find(PhoneRow, { where: { tenantId: tenant, visitId }, order: { firstHeardAt: 'ASC', id: 'ASC' } });
  }

  /** What has not been looked at yet, in the order in which the phone counted it. */
  async waiting(tx: EntityManager, phone: PhoneRow): Promise<PhoneFactRow[]> {
    return tx.find(PhoneFactRow, {
      where: { tenantId: phone.tenantId, visitId: phone.visitId, phoneId: phone.id, state: 'waiting' },
      order: { n: 'ASC' },
    });
  }

  /** The numbers above `after` that are here, lowest first. */
  async numbers(tx: EntityManager, phone: PhoneRow, after: number): Promise<number[]> {
    const rows = await tx.query<{ n: number }[]>(
      'select n from phone_fact where tenant_id = $1 and visit_id = $2 and phone_id = $3 and n > $4 order by n',
      [phone.tenantId, phone.visitId, phone.id, after],
    );
    return rows.map(({ n }) => n);
  }

  /** What became of a fact. */
  async settle(tx: EntityManager, fact: PhoneFactRow, problem: string | null): Promise<void> {
    const state = problem === null ? 'taken' : 'refused';
    await tx.update(PhoneFactRow, { tenantId: fact.tenantId, id: fact.id, state: 'waiting' }, { state, problem });
  }

  /** Null where the phone was never heard at this visit, or is not visible. */
  async find(tx: EntityManager, tenant: string, visitId: string, id: string): Promise<PhoneRow | null> {
    return tx.findOneBy(PhoneRow, { tenantId: tenant, visitId, id });
  }

  /** Notes that a phone is lost. */
  async lose(tx: EntityManager, phone: PhoneRow, loss: { at: string; by: string; because: string }): Promise<void> {
    const { tenantId, visitId, id } = phone;
    const change = { lostAt: loss.at, lostBy: loss.by, lostBecause: loss.because };
    await tx.update(PhoneRow, { tenantId, visitId, id }, change);
  }

  async takenTo(tx: EntityManager, phone: PhoneRow, n: number): Promise<void> {
    const { tenantId, visitId, id } = phone;
    await tx.update(PhoneRow, { tenantId, visitId, id }, { takenTo: n });
  }
}
