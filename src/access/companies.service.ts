import { randomUUID } from 'node:crypto';
import { Injectable } from '@nestjs/common';
import { Database } from '../platform/db/database.js';
import { onConstraint } from '../platform/db/database-errors.js';
import { Refused } from '../platform/http/problems.js';
import type { Actor } from './access.contract.js';

export const COMPANY_KINDS = ['retailer', 'carrier'] as const;
export type CompanyKind = (typeof COMPANY_KINDS)[number];

/** A company that visits name by its code. */
export interface CompanyRecord {
  /** uuid */
  readonly id: string;
  readonly code: string;
  readonly name: string;
  /** Where a retailer wants goods and letters to go, as it says itself; absent where it has not. */
  readonly goodsAddress?: string;
  readonly lettersAddress?: string;
}

const NEWEST = (kind: string) =>
  `(select a.lines from retailer_address a where a.tenant_id = r.tenant_id and a.retailer_id = r.id and a.kind = '${kind}'
    order by a.changed_at desc, a.id desc limit 1)`;

const SELECT = {
  carrier: 'select id, code, name from carrier where tenant_id = $1 order by code limit 1000',
  retailer: `select r.id, r.code, r.name, ${NEWEST('goods')} as "goodsAddress", ${NEWEST('letters')} as "lettersAddress"
    from retailer r where r.tenant_id = $1 order by r.code limit 1000`,
} as const satisfies Readonly<Record<CompanyKind, string>>;

type RawCompany = Omit<CompanyRecord, 'goodsAddress' | 'lettersAddress'> & {
  readonly goodsAddress?: string | null;
  readonly lettersAddress?: string | null;
};

/** The retailers and carriers that a tenant works with. */
@Injectable()
export class CompaniesService {
  constructor(private readonly db: Database) {}

  /** All of one kind in order of their codes; a house works with dozens, not thousands. At most 1,000. */
  list(actor: Actor, kind: CompanyKind): Promise<CompanyRecord[]> {
    return this.db.inTenant({ tenant: actor.tenant }, async (tx) => {
      const rows = await tx.query<RawCompany[]>(SELECT[kind], [actor.tenant]);
      return rows.map(({ goodsAddress, lettersAddress, ...company }) => ({
        ...company,
        ...(goodsAddress === null || goodsAddress === undefined ? {} : { goodsAddress }),
        ...(lettersAddress === null || lettersAddress === undefined ? {} : { lettersAddress }),
      }));
    });
  }

  /** Where a retailer wants goods to go, lines parted by newlines; null where it has not said. @param retailer uuid */
  async goodsAddress(actor: Actor, retailer: string): Promise<string | null> {
    const all = await this.list(actor, 'retailer');
    return all.find(({ id }) => id === retailer)?.goodsAddress ?? null;
  }

  /** @throws Refused `company-exists` when the code is taken by another of the same kind */
  async add(actor: Actor, kind: CompanyKind, company: Omit<CompanyRecord, 'id'>): Promise<CompanyRecord> {
    const id = randomUUID();
    await this.db.inTenant({ tenant: actor.tenant }, (tx) =>
      onConstraint(
        tx.query(`insert into ${kind} (id, tenant_id, code, name) values ($1, $2, $3, $4)`, [
          id,
          actor.tenant,
          company.code,
          company.name,
        ]),
        {
          [`${kind}_tenant_id_code_key`]: () =>
            new Refused('company-exists', `There is a ${kind} with the code ${company.code} already.`),
        },
      ),
    );
    return { id, ...company };
  }
}
