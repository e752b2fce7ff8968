import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Receipt } from '../../kernel/vocabulary.js';
import type { Address, CustodyRecord, VisitFacts, VisitStage } from '../inspections.contract.js';

/** Where the next page of visits begins: behind this one. */
export interface VisitPosition {
  /** RFC 3339 instant */
  readonly windowFrom: string;
  readonly id: string;
}

/** Which visits a list holds. */
export interface VisitFilter {
  /** Part of an order number, a serial number, a street or a town. */
  readonly find?: string | undefined;
  readonly stage?: VisitStage | undefined;
}

interface VisitRecord {
  readonly id: string;
  readonly retailer_id: string;
  readonly retailer_code: string;
  readonly retailer_name: string;
  readonly carrier_id: string;
  readonly carrier_code: string;
  readonly carrier_name: string;
  readonly order_reference: string;
  readonly placed_on: string;
  readonly currency: string;
  readonly price_minor: string;
  readonly tax_minor: string;
  readonly delivery_minor: string;
  readonly address: Address;
  readonly jurisdiction: string;
  readonly zone: string;
  readonly window_from: Date;
  readonly window_to: Date;
  readonly crew_size: number;
  readonly custody: readonly CustodyRecord[];
  readonly receipt: Receipt | null;
  readonly receipt_words: string | null;
  readonly delivered_at: Date | null;
  readonly version: number;
  readonly stage: VisitStage;
  readonly units: VisitFacts['units'];
}

const BEGUN = 'select 1 from inspection i where i.tenant_id = v.tenant_id and i.visit_id = v.id';
const STAGE = `case when not exists (${BEGUN}) then 'planned'
    when exists (${BEGUN} and i.finished_at is null) then 'under way' else 'inspected' end`;

const SELECT = `
  select v.id, v.retailer_id, r.code retailer_code, r.name retailer_name, v.carrier_id, c.code carrier_code, c.name carrier_name,
    v.order_reference, v.placed_on, v.currency, v.price_minor, v.tax_minor, v.delivery_minor, v.address, v.jurisdiction, v.zone,
    v.window_from, v.window_to, v.crew_size, v.custody, v.receipt, v.receipt_words, v.delivered_at, v.version,
    ${STAGE} stage,
    (select json_agg(json_build_object('id', u.id, 'sku', m.sku, 'title', m.title, 'serial', u.serial) order by u.serial)
     from visit_unit u join model m on m.tenant_id = u.tenant_id and m.id = u.model_id
     where u.tenant_id = v.tenant_id and u.visit_id = v.id) units
  from visit v
  join retailer r on r.tenant_id = v.tenant_id and r.id = v.retailer_id
  join carrier c on c.tenant_id = v.tenant_id and c.id = v.carrier_id`;

/** Visits as people read them: with names of the companies and the units they bring. */
@Injectable()
export class VisitReadModel {
  async one(tx: EntityManager, tenant: string, id: string): Promise<VisitFacts | undefined> {
    const rows = await tx.query<VisitRecord[]>(`${SELECT} where v.tenant_id = $1 and v.id = $2`, [tenant, id]);
    return rows.map(factsOf)[0];
  }

  /** The newest first: by the start of the window, then by id. */
  async page(
    tx: EntityManager,
    tenant: string,
    filter: VisitFilter,
    after: VisitPosition | undefined,
    limit: number,
  ): Promise<readonly VisitFacts[]> {
    const values: unknown[] = [tenant, limit];
    const bind = (value: unknown): string => `$${values.push(value)}`;
    const where = ['v.tenant_id = $1'];
    if (after) where.push(`(v.window_from, v.id) < (${bind(after.windowFrom)}::timestamptz, ${bind(after.id)}::uuid)`);
    if (filter.stage !== undefined) where.push(`${STAGE} = ${bind(filter.stage)}`);
    if (filter.find !== undefined && filter.find !== '') {
      const like = bind(`%${filter.find.replaceAll(/[\\%_]/g, (sign) => `\\${sign}`)}%`);
      where.push(`(v.order_reference ilike ${like} or v.address ->> 'place' ilike ${like} or v.address ->> 'lines' ilike ${like}
        or exists (select 1 from visit_unit f where f.tenant_id = v.tenant_id and f.visit_id = v.id and f.serial ilike ${like}))`);
    }
    const sql = `${SELECT} where ${where.join(' and ')} order by v.window_from desc, v.id desc limit $2`;
    return (await tx.query<VisitRecord[]>(sql, values)).map(factsOf);
  }
}

function factsOf(row: VisitRecord): VisitFacts {
  return {
    id: row.id,
    retailer: { id: row.retailer_id, code: row.retailer_code, name: row.retailer_name },
    carrier: { id: row.carrier_id, code: row.carrier_code, name: row.carrier_name },
    order: {
      reference: row.order_reference,
      placedOn: row.placed_on,
      currency: row.currency,
      priceMinor: Number(row.price_minor),
      taxMinor: Number(row.tax_minor),
      deliveryMinor: Number(row.delivery_minor),
    },
    address: row.address,
    jurisdiction: row.jurisdiction,
    zone: row.zone,
    windowFrom: row.window_from.toISOString(),
    windowTo: row.window_to.toISOString(),
    crewSize: row.crew_size,
    custody: row.custody,
    receipt: row.receipt,
    receiptWords: row.receipt_words,
    deliveredAt: row.delivered_at === null ? null : row.delivered_at.toISOString(),
    units: row.units,
    stage: row.stage,
    version: row.version,
  };
}
