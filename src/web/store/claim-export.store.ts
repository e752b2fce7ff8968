import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Every, ExportWish } from '../domain/export-wish.js';

/** Whose: a retailer of a tenant. */
export interface ExportOwner {
  readonly tenant: string;
  readonly retailer: string;
}

/** A file that was taken or made. */
export interface PastExport {
  readonly id: string;
  readonly wish: ExportWish;
  readonly madeBy: string;
  readonly madeAt: string;
  /** How many claims are in it; null where it was only passed on. */
  readonly claims: number | null;
  /** Why there is no file, where one was to be made. */
  readonly failure: string | null;
  /** Whether the file is kept. */
  readonly isKept: boolean;
  readonly every: Every | null;
}

/** A file that is made by the week or the month. */
export interface ExportSchedule {
  readonly id: string;
  readonly every: Every;
  readonly wish: ExportWish;
  readonly madeBy: string;
  readonly nextAt: string;
}

export interface NewExport {
  readonly id: string;
  readonly wish: ExportWish;
  readonly madeBy: string;
  readonly madeAt: string;
  readonly schedule?: string;
  readonly claims?: number;
  readonly failure?: string;
  readonly content?: Buffer;
}

const SHOWN = 60;

/** Files of claims and their schedules, in PostgreSQL. */
@Injectable()
export class ClaimExportStore {
  /** The newest first. */
  async past(tx: EntityManager, { tenant, retailer }: ExportOwner): Promise<PastExport[]> {
    const rows = await tx.query<(Omit<PastExport, 'madeAt'> & { readonly madeAt: Date })[]>(
      `select e.id, e.wish, e.made_by as "madeBy", e.made_at as "madeAt", e.claims, e.failure,
         e.content is not null as "isKept", s.every
       from claim_export e left join export_schedule s on s.tenant_id = e.tenant_id and s.id = e.schedule_id
       where e.tenant_id = $1 and e.retailer_id = $2 order by e.made_at desc, e.id desc limit ${SHOWN}`,
      [tenant, retailer],
    );
    return rows.map((row) => ({ ...row, madeAt: row.madeAt.toISOString() }));
  }

  async add(tx: EntityManager, { tenant, retailer }: ExportOwner, made: NewExport): Promise<void> {
    await tx.query(
      `insert into claim_export (id, tenant_id, retailer_id, schedule_id, wish, made_by, made_at, claims, failure, content)
       values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`,
      [
        made.id,
        tenant,
        retailer,
        made.schedule ?? null,
        JSON.stringify(made.wish),
        made.madeBy,
        made.madeAt,
        made.claims ?? null,
        made.failure ?? null,
        made.content ?? null,
      ],
    );
  }

  /** Forgets all but the newest, of one schedule or of those that were passed on. */
  async forgetOld(
    tx: EntityManager,
    { tenant, retailer }: ExportOwner,
    schedule: string | null,
    keep: number,
  ): Promise<void> {
    await tx.query(
      `delete from claim_export where id in (
         select id from claim_export where tenant_id = $1 and retailer_id = $2 and schedule_id is not distinct from $3::uuid
         order by made_at desc, id desc offset $4)`,
      [tenant, retailer, schedule, keep],
    );
  }

  async file(
    tx: EntityManager,
    { tenant, retailer }: ExportOwner,
    id: string,
  ): Promise<{ readonly wish: ExportWish; readonly madeAt: string; readonly content: Buffer } | undefined> {
    const rows = await tx.query<{ wish: ExportWish; madeAt: Date; content: Buffer }[]>(
      `select wish, made_at as "madeAt", content from claim_export
       where tenant_id = $1 and retailer_id = $2 and id = $3 and content is not null`,
      [tenant, retailer, id],
    );
    return rows.map((row) => ({ ...row, madeAt: row.madeAt.toISOString() }))[0];
  }

  /** Those that run, the next one first. */
  async schedules(tx: EntityManager, { tenant, retailer }: ExportOwner): Promise<ExportSchedule[]> {
    const rows = await tx.query<(Omit<ExportSchedule, 'nextAt'> & { readonly nextAt: Date })[]>(
      `select id, every, wish, made_by as "madeBy", next_at as "nextAt" from export_schedule
       where tenant_id = $1 and retailer_id = $2 and ended_at is null order by next_at, id`,
      [tenant, retailer],
    );
    return rows.map((row) => ({ ...row, nextAt: row.nextAt.toISOString() }));
  }

  async addSchedule(
    tx: EntityManager,
    { tenant, retailer }: ExportOwner,
    made: ExportSchedule,
    at: string,
  ): Promise<void> {
    await tx.query(
      `insert into export_schedule (id, tenant_id, retailer_id, every, wish, made_by, made_at, next_at)
       values ($1, $2, $3, $4, $5, $6, $7, $8)`,
      [made.id, tenant, retailer, made.every, JSON.stringify(made.wish), made.madeBy, at, made.nextAt],
    );
  }

  /** @returns whether there is such a schedule; ending it again changes nothing */
  async endSchedule(tx: EntityManager, { tenant, retailer }: ExportOwner, id: string, at: string): Promise<boolean> {
    const rows = await tx.query<object[]>(
      'select 1 from export_schedule where tenant_id = $1 and retailer_id = $2 and id = $3',
      [tenant, retailer, id],
    );
    await tx.query(
      'update export_schedule set ended_at = $4 where tenant_id = $1 and retailer_id = $2 and id = $3 and ended_at is null',
      [tenant, retailer, id, at],
    );
    return rows.length > 0;
  }

  /** Schedules of any tenant whose file is due; only for the look across tenants. */
  due(tx: EntityManager, at: string, limit: number): Promise<(ExportOwner & { readonly id: string })[]> {
    return tx.query(
      `select id, tenant_id as tenant, retailer_id as retailer from export_schedule
       where ended_at is null and next_at <= $1 order by next_at, id limit $2`,
      [at, limit],
    );
  }

  /** Takes a schedule in hand whose file is due; undefined where somebody else has it, or it is due no longer. */
  async take(
    tx: EntityManager,
    { tenant, retailer }: ExportOwner,
    id: string,
    at: string,
  ): Promise<ExportSchedule | undefined> {
    const rows = await tx.query<(Omit<ExportSchedule, 'nextAt'> & { readonly nextAt: Date })[]>(
      `select id, every, wish, made_by as "madeBy", next_at as "nextAt" from export_schedule
       where tenant_id = $1 and retailer_id = $2 and id = $3 and ended_at is null and next_at <= $4 for update skip locked`,
      [tenant, retailer, id, at],
    );
    return rows.map((row) => ({ ...row, nextAt: row.nextAt.toISOString() }))[0];
  }

  async moveOn(tx: EntityManager, { tenant, retailer }: ExportOwner, id: string, nextAt: string): Promise<void> {
    await tx.query('update export_schedule set next_at = $4 where tenant_id = $1 and retailer_id = $2 and id = $3', [
      tenant,
      retailer,
      id,
      nextAt,
    ]);
  }
}
