import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { VisitPosition } from './visit.read-model.js';

/** One unit and the visit that brings it. */
export interface UnitLine {
  /** uuid */
  readonly id: string;
  readonly sku: string;
  readonly serial: string;
  readonly visitId: string;
  readonly orderReference: string;
  readonly retailer: string;
  /** RFC 3339 instant */
  readonly windowFrom: string;
  readonly deliveredAt: string | null;
}

/** What narrows a list of units; absent fields do not. */
export interface UnitFilter {
  readonly sku?: string | undefined;
  /** Part of a serial number or order reference, in whichever letters. */
  readonly find?: string | undefined;
}

interface UnitRecord {
  readonly id: string;
  readonly sku: string;
  readonly serial: string;
  readonly visit_id: string;
  readonly order_reference: string;
  readonly retailer_name: string;
  readonly window_from: Date;
  readonly delivered_at: Date | null;
}

/** Units by serial number: which visit brought them, and when. */
@Injectable()
export class UnitReadModel {
  /** The newest visit first, then by id. */
  async page(
    tx: EntityManager,
    tenant: string,
    { sku, find }: UnitFilter,
    after: VisitPosition | undefined,
    limit: number,
  ): Promise<readonly UnitLine[]> {
    const values: unknown[] = [tenant];
    const bind = (value: unknown): string => `$${values.push(value)}`;
    const wanted = [
      'u.tenant_id = $1',
      ...(sku === undefined ? [] : [`m.sku = ${bind(sku)}`]),
      ...(find === undefined ? [] : [likeEither(bind(`%${find.replaceAll(/[\\%_]/g, (sign) => `\\${sign}`)}%`))]),
      ...(after === undefined
        ? []
        : [`(v.window_from, u.id) < (${bind(after.windowFrom)}::timestamptz, ${bind(after.id)}::uuid)`]),
    ];
    const rows = await tx.query<UnitRecord[]>(
      `select u.id, m.sku, u.serial, u.visit_id, v.order_reference, r.name retailer_name, v.window_from, v.delivered_at
       from visit_unit u
       join visit v on v.tenant_id = u.tenant_id and v.id = u.visit_id
       join model m on m.tenant_id = u.tenant_id and m.id = u.model_id
       join retailer r on r.tenant_id = v.tenant_id and r.id = v.retailer_id
       where ${wanted.join(' and ')}
       order by v.window_from desc, u.id desc limit ${bind(limit)}`,
      values,
    );
    return rows.map(lineOf);
  }
}

function likeEither(pattern: string): string {
  return `(u.serial ilike ${pattern} or v.order_reference ilike ${pattern})`;
}

function lineOf(row: UnitRecord): UnitLine {
  return {
    id: row.id,
    sku: row.sku,
    serial: row.serial,
    visitId: row.visit_id,
    orderReference: row.order_reference,
    retailer: row.retailer_name,
    windowFrom: row.window_from.toISOString(),
    deliveredAt: row.delivered_at === null ? null : row.delivered_at.toISOString(),
  };
}
