import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { InspectionAnswerRow, InspectionRow, SafetyStopRow } from './inspection.entity.js';

/** An inspection as it begins. */
export type StartedInspection = Pick<
  InspectionRow,
  'id' | 'tenantId' | 'visitId' | 'unitId' | 'checklistVersionId' | 'crewSize' | 'startedAt' | 'foundAt' | 'startedBy'
>;

/** Where an inspection was made, and of what. */
export type InspectionPlace = Pick<InspectionRow, 'visitId' | 'unitId'>;

/** An answer as it arrives. */
export type NewAnswer = Omit<InspectionAnswerRow, 'id' | 'receivedAt'>;

/** How an inspection is closed. */
export interface Completion {
  readonly at: string;
  readonly by: string;
  readonly gapsReason: string | null;
}

/** Inspections, their answers and the stops they raised. */
@Injectable()
export class InspectionStore {
  /** Begins an inspection unless its id is taken. Two phones with one id wait for each other. @returns whether it was begun now */
  async insert(tx: EntityManager, inspection: StartedInspection): Promise<boolean> {
    const result = await tx
      .createQueryBuilder()
      .insert()
      .into(InspectionRow)
      .values({ ...inspection })
      .orIgnore()
      .returning('id')
      .execute();
    return (result.raw as unknown[]).length === 1;
  }

  /** Undefined when the inspection is missing or not visible. */
  async place(tx: EntityManager, tenant: string, id: string): Promise<InspectionPlace | undefined> {
    const rows = await tx.query<InspectionPlace[]>(
      'select visit_id as "visitId", unit_id as "unitId" from inspection where tenant_id = $1 and id = $2',
      [tenant, id],
    );
    return rows[0];
  }

  async find(tx: EntityManager, tenant: string, id: string): Promise<InspectionRow | null> {
    return tx.findOneBy(InspectionRow, { tenantId: tenant, id });
  }

  /** Locks an inspection, so that batches of answers go in one after the other. */
  async lock(tx: EntityManager, tenant: string, id: string): Promise<InspectionRow | null> {
    return tx.findOne(InspectionRow, { where: { tenantId: tenant, id }, lock: { mode: 'pessimistic_write' } });
  }

  async ofVisit(tx: EntityManager, tenant: string, visitId: string): Promise<InspectionRow[]> {
    return tx.find(InspectionRow, { where: { tenantId: tenant, visitId }, order: { startedAt: 'ASC', id: 'ASC' } });
  }

  /** All answers ever given, in the order in which they were given; of those at the same instant, as they arrived. */
  async answers(tx: EntityManager, tenant: string, inspectionId: string): Promise<InspectionAnswerRow[]> {
    return tx
      .createQueryBuilder(InspectionAnswerRow, 'a')
      .where('a.tenantId = :tenant and a.inspectionId = :inspectionId', { tenant, inspectionId })
      .orderBy('a.answeredAt')
      .addOrderBy('a.id')
      .getMany();
  }

  async append(tx: EntityManager, answers: readonly NewAnswer[]): Promise<void> {
    // `value` is JSON: text must arrive as a JSON string, and null as SQL null.
    for (const { tenantId, inspectionId, visitId, item, value, note, answeredAt, answeredBy } of answers) {
      await tx.query(
        `insert into inspection_answer (tenant_id, inspection_id, visit_id, item, value, note, answered_at, answered_by)
         values ($1, $2, $3, $4, $5, $6, $7, $8)`,
        [
          tenantId,
          inspectionId,
          visitId,
          item,
          value === null ? null : JSON.stringify(value),
          note,
          answeredAt,
          answeredBy,
        ],
      );
    }
  }

  async stops(tx: EntityManager, tenant: string, inspectionId: string): Promise<SafetyStopRow[]> {
    return tx.find(SafetyStopRow, {
      where: { tenantId: tenant, inspectionId },
      order: { raisedAt: 'ASC', stop: 'ASC' },
    });
  }

  /** Raises stops; one that was raised before stays as it is, acknowledged or not. */
  async raise(
    tx: EntityManager,
    stops: readonly Omit<SafetyStopRow, 'acknowledgedAt' | 'acknowledgedBy'>[],
  ): Promise<void> {
    if (stops.length === 0) return;
    await tx
      .createQueryBuilder()
      .insert()
      .into(SafetyStopRow)
      .values([...stops])
      .orIgnore()
      .execute();
  }

  /** Notes that somebody saw a stop; the first one counts. */
  async acknowledge(tx: EntityManager, stop: SafetyStopRow, by: string, at: string): Promise<void> {
    const { tenantId, inspectionId } = stop;
    await tx
      .createQueryBuilder()
      .update(SafetyStopRow)
      .set({ acknowledgedAt: at, acknowledgedBy: by })
      .where('tenantId = :tenantId and inspectionId = :inspectionId and stop = :stop', {
        tenantId,
        inspectionId,
        stop: stop.stop,
      })
      .andWhere('acknowledgedAt is null')
      .execute();
  }

  /** @returns false when somebody changed it meanwhile */
  async finish(tx: EntityManager, inspection: InspectionRow, completion: Completion): Promise<boolean> {
    const { tenantId, id, version } = inspection;
    const { affected } = await tx.update(
      InspectionRow,
      { tenantId, id, version },
      { finishedAt: completion.at, finishedBy: completion.by, gapsReason: completion.gapsReason },
    );
    return affected === 1;
  }

  /**
   * Which photos an inspection has: the item each belongs to and what it shows, whether they are here or a phone says it holds them.
   * Photos are kept by a module that builds on this one, so what is still owed is read from its table.
   */
  async photos(
    tx: EntityManager,
    tenant: string,
    inspectionId: string,
  ): Promise<{ readonly item: string; readonly shows: string }[]> {
    return tx.query(
      `select item, shows from exhibit
       where tenant_id = $1 and inspection_id = $2 and withdrawn_at is null and state <> 'failed'
       union all
       select said.body ->> 'item', said.body ->> 'shows' from phone_fact said
       where said.tenant_id = $1 and said.inspection_id = $2 and said.kind = 'photo' and said.state = 'taken'
         and not exists (select 1 from exhibit here where here.tenant_id = $1 and here.inspection_id = $2
           and (here.id::text = said.body ->> 'photo' or here.sha256 = said.body ->> 'sha256'))
         and not exists (select 1 from phone_fact gone where gone.tenant_id = $1 and gone.inspection_id = $2
           and gone.kind = 'withdraw' and gone.state = 'taken' and gone.body ->> 'photo' = said.body ->> 'photo')
         and not exists (select 1 from phone where phone.visit_id = said.visit_id and phone.id = said.phone_id
           and phone.lost_at >= phone.last_heard_at)`,
      [tenant, inspectionId],
    );
  }
}
