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
}

/** The retailers and carriers that a tenant works with. */
@Injectable()
export class CompaniesService {
  constructor(private readonly db: Database) {}

  /** All of one kind in order of their codes; a house works with dozens, not thousands. At most 1,000. */
  list(actor: Actor, kind: CompanyKind): Promise<CompanyRecord[]> {
    return this.db.inTenant({ tenant: actor.tenant }, (tx) =>
      tx.query<CompanyRecord[]>(`select id, code, name from ${kind} where tenant_id = $1 order by code limit 1000`, [
        actor.tenant,
      ]),
    );
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
