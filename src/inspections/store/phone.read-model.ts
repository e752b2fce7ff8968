import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { instantText } from '../../platform/db/column-transformers.js';

/** A phone, with how much it still owes. Instants are RFC 3339 in UTC. */
export interface OwingPhone {
  /** uuid made on the phone */
  readonly phone: string;
  readonly visit: string;
  readonly order: string;
  readonly crew: string;
  readonly countedTo: number;
  readonly factsOwed: number;
  readonly photosOwed: number;
  /** By how much its clock ran ahead when it last sent; below zero when behind. */
  readonly clockAheadSeconds: number;
  readonly lastHeardAt: string;
}

/** A photo that a phone says it holds and that is not here. */
export interface PhotoOnPhone {
  readonly photo: string;
  readonly item: string;
  readonly shows: string;
  readonly takenAt: string;
}

/** A photo that was told of, was not taken back, and has not come. `said` is the fact that tells of it. */
const STILL_ON_PHONE = `said.kind = 'photo' and said.state = 'taken'
  and not exists (select 1 from exhibit here where here.tenant_id = said.tenant_id and here.inspection_id = said.inspection_id
    and (here.id::text = said.body ->> 'photo' or here.sha256 = said.body ->> 'sha256'))
  and not exists (select 1 from phone_fact gone where gone.tenant_id = said.tenant_id and gone.visit_id = said.visit_id
    and gone.kind = 'withdraw' and gone.state = 'taken' and gone.body ->> 'photo' = said.body ->> 'photo')`;

const PHONES = `select phone.id phone, phone.visit_id visit, visit.order_reference "order", phone.crew, phone.counted_to "countedTo",
    phone.counted_to - (select count(*)::int from phone_fact fact where fact.visit_id = phone.visit_id and fact.phone_id = phone.id)
      "factsOwed",
    (select count(*)::int from phone_fact said where said.visit_id = phone.visit_id and said.phone_id = phone.id
      and ${STILL_ON_PHONE}) "photosOwed",
    phone.clock_ahead_seconds "clockAheadSeconds", phone.last_heard_at "lastHeardAt"
  from phone join visit on visit.tenant_id = phone.tenant_id and visit.id = phone.visit_id
  where phone.tenant_id = $1`;

/** What phones hold that is not here. */
@Injectable()
export class PhoneReadModel {
  async ofVisit(tx: EntityManager, tenant: string, visitId: string): Promise<OwingPhone[]> {
    const rows = await tx.query<OwingPhone[]>(
      `${PHONES} and phone.visit_id = $2 order by phone.first_heard_at, phone.id`,
      [tenant, visitId],
    );
    return rows.map(withText);
  }

  async owing(tx: EntityManager, tenant: string, limit: number): Promise<OwingPhone[]> {
    const sql = `select * from (${PHONES}) all_phones where "factsOwed" > 0 or "photosOwed" > 0
      order by "lastHeardAt", phone limit $2`;
    return (await tx.query<OwingPhone[]>(sql, [tenant, limit])).map(withText);
  }

  async photosOn(tx: EntityManager, tenant: string, visitId: string, phone: string): Promise<PhotoOnPhone[]> {
    const sql = `select said.body ->> 'photo' photo, said.body ->> 'item' item, said.body ->> 'shows' shows, said.happened_at "takenAt"
      from phone_fact said where said.tenant_id = $1 and said.visit_id = $2 and said.phone_id = $3 and ${STILL_ON_PHONE}
      order by said.n limit 200`;
    const rows = await tx.query<PhotoOnPhone[]>(sql, [tenant, visitId, phone]);
    return rows.map((row) => ({ ...row, takenAt: text(row.takenAt) }));
  }

  async photosOwed(tx: EntityManager, tenant: string, inspectionId: string): Promise<number> {
    const sql = `select count(*)::int owed from phone_fact said where said.tenant_id = $1 and said.inspection_id = $2
      and ${STILL_ON_PHONE}`;
    const [row] = await tx.query<{ owed: number }[]>(sql, [tenant, inspectionId]);
    return row?.owed ?? 0;
  }

  async refused(
    tx: EntityManager,
    tenant: string,
    visitId: string,
    phone: string,
  ): Promise<{ readonly id: string; readonly kind: string; readonly problem: string }[]> {
    const sql = `select id, kind, problem from phone_fact
      where tenant_id = $1 and visit_id = $2 and phone_id = $3 and state = 'refused' order by n limit 200`;
    return tx.query(sql, [tenant, visitId, phone]);
  }

  /** Each phone's newest answer to each item of each inspection. */
  async newestAnswers(
    tx: EntityManager,
    tenant: string,
    visitId: string,
  ): Promise<
    { readonly inspection: string; readonly phone: string; readonly item: string; readonly value: unknown }[]
  > {
    const sql = `select distinct on (inspection_id, phone_id, body ->> 'item') inspection_id inspection, phone_id phone,
        body ->> 'item' item, body -> 'value' value
      from phone_fact where tenant_id = $1 and visit_id = $2 and kind = 'answer' and state = 'taken'
      order by inspection_id, phone_id, body ->> 'item', n desc`;
    return tx.query(sql, [tenant, visitId]);
  }
}

function withText(row: OwingPhone): OwingPhone {
  return { ...row, lastHeardAt: text(row.lastHeardAt) };
}

/** The driver gives instants as dates. */
function text(instant: unknown): string {
  return instantText.from(instant) as string;
}
