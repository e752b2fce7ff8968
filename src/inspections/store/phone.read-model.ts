import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { instantText } from '../../platform/db/column-transformers.js';
import type { PhoneAnswer } from '../domain/phone-facts.js';
import type { OwingPhone, PhotoOnPhone, RefusedFact } from '../phones.contract.js';

/** One phone's answer, with whose phone it is and when it was said. */
export interface SaidAnswer extends PhoneAnswer {
  readonly crew: string;
  readonly inspection: string;
  /** uuid of the unit that was inspected */
  readonly unit: string;
  readonly serial: string;
  readonly note: string | null;
  /** By the clock of the phone. */
  readonly saidAt: string;
  readonly receivedAt: string;
  readonly clockAheadSeconds: number;
}

/** A photo that was told of, was not taken back, and has not come. `said` is the fact that tells of it. */
const STILL_ON_PHONE = `said.kind = 'photo' and said.state <> 'refused'
  and not exists (select 1 from exhibit here where here.tenant_id = said.tenant_id and here.inspection_id = said.inspection_id
    and (here.id::text = said.body ->> 'photo' or here.sha256 = said.body ->> 'sha256'))
  and not exists (select 1 from phone_fact gone where gone.tenant_id = said.tenant_id and gone.visit_id = said.visit_id
    and gone.kind = 'withdraw' and gone.state = 'taken' and gone.body ->> 'photo' = said.body ->> 'photo')`;

/** Claims are kept by a module that builds on this one, so which a visit has is read from their table. */
const PHONES = `with held as (
    select said.visit_id, said.phone_id, count(*)::int photos, min(said.received_at) since from phone_fact said
    where said.tenant_id = $1 and ($2::uuid is null or said.visit_id = $2) and ${STILL_ON_PHONE}
    group by said.visit_id, said.phone_id)
  select phone.id phone, phone.visit_id visit, visit.order_reference "order", phone.crew, phone.counted_to "countedTo",
    case when phone.counted_to > phone.taken_to then phone.counted_to -
      (select count(*)::int from phone_fact fact where fact.visit_id = phone.visit_id and fact.phone_id = phone.id)
      else 0 end "factsOwed",
    coalesce(held.photos, 0) "photosOwed", least(held.since, phone.last_heard_at) since,
    phone.clock_ahead_seconds "clockAheadSeconds", phone.last_heard_at "lastHeardAt",
    case when phone.lost_at >= phone.last_heard_at then phone.lost_at end "lostAt", phone.lost_by "lostBy",
    phone.lost_because "lostBecause",
    (select coalesce(json_agg(json_build_object('id', claim.id, 'number', claim.number, 'state', claim.state)
       order by claim.created_at), '[]') from claim where claim.tenant_id = phone.tenant_id and claim.visit_id = phone.visit_id) claims
  from phone join visit on visit.tenant_id = phone.tenant_id and visit.id = phone.visit_id
    left join held on held.visit_id = phone.visit_id and held.phone_id = phone.id
  where phone.tenant_id = $1 and ($2::uuid is null or phone.visit_id = $2)`;

interface PhoneLine extends Omit<OwingPhone, 'since' | 'lastHeardAt' | 'lost'> {
  readonly since: Date;
  readonly lastHeardAt: Date;
  readonly lostAt: Date | null;
  readonly lostBy: string;
  readonly lostBecause: string;
}

/** What phones hold that is not here. */
@Injectable()
export class PhoneReadModel {
  async ofVisit(tx: EntityManager, tenant: string, visitId: string): Promise<OwingPhone[]> {
    const sql = `${PHONES} order by phone.first_heard_at, phone.id`;
    return (await tx.query<PhoneLine[]>(sql, [tenant, visitId])).map(phoneOf);
  }

  /** Phones that owe something, silent longest first. @param lost those that were lost with it, the latest loss first */
  async owing(tx: EntityManager, tenant: string, lost: boolean, limit: number): Promise<OwingPhone[]> {
    const sql = `select * from (${PHONES} and (phone.counted_to > phone.taken_to or held.photos > 0)
        and coalesce(phone.lost_at >= phone.last_heard_at, false) = $3) line
      where "factsOwed" > 0 or "photosOwed" > 0
      order by "lostAt" desc nulls last, "lastHeardAt", phone limit $4`;
    return (await tx.query<PhoneLine[]>(sql, [tenant, null, lost, limit])).map(phoneOf);
  }

  async photosOn(tx: EntityManager, tenant: string, visitId: string, phone: string): Promise<PhotoOnPhone[]> {
    const sql = `select said.body ->> 'photo' photo, said.body ->> 'item' item, said.body ->> 'shows' shows, said.happened_at "takenAt"
      from phone_fact said where said.tenant_id = $1 and said.visit_id = $2 and said.phone_id = $3 and ${STILL_ON_PHONE}
      order by said.n limit 200`;
    const rows = await tx.query<PhotoOnPhone[]>(sql, [tenant, visitId, phone]);
    return rows.map((row) => ({ ...row, takenAt: text(row.takenAt) }));
  }

  /** Photos of an inspection that may still come: those on phones that are lost will not. */
  async photosOwed(tx: EntityManager, tenant: string, inspectionId: string): Promise<number> {
    const sql = `select count(*)::int owed from phone_fact said where said.tenant_id = $1 and said.inspection_id = $2
      and ${STILL_ON_PHONE} and not exists (select 1 from phone where phone.visit_id = said.visit_id and phone.id = said.phone_id
        and phone.lost_at >= phone.last_heard_at)`;
    const [row] = await tx.query<{ owed: number }[]>(sql, [tenant, inspectionId]);
    return row?.owed ?? 0;
  }

  async refused(tx: EntityManager, tenant: string, visitId: string, phone: string): Promise<RefusedFact[]> {
    const sql = `select id, kind, problem, inspection_id inspection, happened_at "at", body from phone_fact
      where tenant_id = $1 and visit_id = $2 and phone_id = $3 and state = 'refused' order by n limit 200`;
    const rows = await tx.query<RefusedFact[]>(sql, [tenant, visitId, phone]);
    return rows.map((row) => ({ ...row, at: text(row.at) }));
  }

  /** How many facts of a visit came after an instant. @param after RFC 3339 */
  async cameAfter(tx: EntityManager, tenant: string, visitId: string, after: string): Promise<number> {
    const sql = `select count(*)::int n from phone_fact where tenant_id = $1 and visit_id = $2 and received_at > $3
      and kind in ('answer', 'stop', 'receipt', 'photo')`;
    const [row] = await tx.query<{ n: number }[]>(sql, [tenant, visitId, after]);
    return row?.n ?? 0;
  }

  /** Each phone's newest answer to each item of each unit. */
  async newestAnswers(tx: EntityManager, tenant: string, visitId: string): Promise<SaidAnswer[]> {
    const sql = `select distinct on (made.unit_id, said.phone_id, said.body ->> 'item')
        said.id fact, made.unit_id unit, unit.serial, said.inspection_id inspection, said.phone_id phone, phone.crew,
        said.body ->> 'item' item, said.body -> 'value' value, said.body ->> 'note' note, said.happened_at "saidAt",
        said.received_at "receivedAt", phone.clock_ahead_seconds "clockAheadSeconds"
      from phone_fact said
        join phone on phone.visit_id = said.visit_id and phone.id = said.phone_id
        join inspection made on made.tenant_id = said.tenant_id and made.id = said.inspection_id
        join visit_unit unit on unit.tenant_id = made.tenant_id and unit.id = made.unit_id
      where said.tenant_id = $1 and said.visit_id = $2 and said.kind = 'answer' and said.state = 'taken'
      order by made.unit_id, said.phone_id, said.body ->> 'item', said.n desc`;
    const rows = await tx.query<SaidAnswer[]>(sql, [tenant, visitId]);
    return rows.map((row) => ({ ...row, saidAt: text(row.saidAt), receivedAt: text(row.receivedAt) }));
  }
}

function phoneOf({ lostAt, lostBy, lostBecause, ...row }: PhoneLine): OwingPhone {
  return {
    ...row,
    since: text(row.since),
    lastHeardAt: text(row.lastHeardAt),
    lost: lostAt === null ? null : { at: text(lostAt), by: lostBy, because: lostBecause },
  };
}

/** The driver gives instants as dates. */
function text(instant: unknown): string {
  return instantText.from(instant) as string;
}
