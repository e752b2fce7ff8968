import { Injectable } from '@nestjs/common';
import { IsNull, type EntityManager } from 'typeorm';
import {
  DocumentVersionStore,
  type DocumentKey,
  type Publication,
} from '../../platform/documents/document-version.store.js';
import { PolicyVersionRow } from './policy-version.entity.js';

/** A version that is on the calendar on a day. */
const HELD = `select v.id from policy_period p join policy_version v on v.tenant_id = p.tenant_id and v.id = p.policy_version_id
  where p.tenant_id = $1 and p.effective @> $2::date
    and p.recorded_at <= coalesce($3::timestamptz, 'infinity') and (p.superseded_at is null or p.superseded_at > $3::timestamptz)`;

/** What may change in a version that is not published. */
export type VersionChange = Partial<
  Pick<
    PolicyVersionRow,
    | 'stage'
    | 'approvedBy'
    | 'approvedAt'
    | 'approvedHash'
    | 'title'
    | 'body'
    | 'hash'
    | 'jurisdiction'
    | 'effectiveFrom'
    | 'effectiveTo'
    | 'publishedAt'
    | 'publishedBy'
  >
>;

/** Versions of policies, and which of them governs a place on a day, as the house knew it at any time. */
@Injectable()
export class PolicyVersionStore extends DocumentVersionStore<PolicyVersionRow> {
  constructor() {
    super(PolicyVersionRow);
  }

  /**
   * The version that governs on a day: of the jurisdictions given the first that has one, then the one that began last, then the
   * newest version.
   * @param jurisdictions most specific first, e.g. ['US-CA', 'US']
   * @param on local date, YYYY-MM-DD
   * @param asOf as it was written down at this instant; absent: as it is now
   */
  async inForce(
    tx: EntityManager,
    tenant: string,
    jurisdictions: readonly string[],
    on: string,
    asOf?: string,
  ): Promise<PolicyVersionRow | null> {
    const order = `array_position($4::text[], p.jurisdiction), lower(p.effective) desc, p.version desc`;
    const rows = await tx.query<{ id: string }[]>(
      `${HELD} and p.jurisdiction = any($4::text[]) order by ${order} limit 1`,
      [tenant, on, asOf ?? null, jurisdictions],
    );
    return this.byId(tx, tenant, rows[0]?.id);
  }

  /** The version of one policy that governs on a day, as it was written down at an instant. */
  async ofCodeInForce(
    tx: EntityManager,
    tenant: string,
    code: string,
    on: string,
    asOf?: string,
  ): Promise<PolicyVersionRow | null> {
    const rows = await tx.query<{ id: string }[]>(`${HELD} and p.code = $4`, [tenant, on, asOf ?? null, code]);
    return this.byId(tx, tenant, rows[0]?.id);
  }

  /** Every version of one policy, oldest first, without their documents. */
  async ofCode(tx: EntityManager, tenant: string, code: string): Promise<readonly PolicyVersionRow[]> {
    const rows = await this.page(tx, tenant, { code, version: 0 }, 10_000);
    return rows.filter((row) => row.code === code);
  }

  /**
   * Changes a version that nobody changed or published meanwhile, and counts the change.
   * @returns false when somebody did
   */
  async advance(tx: EntityManager, row: PolicyVersionRow, change: VersionChange): Promise<boolean> {
    const where = { tenantId: row.tenantId, id: row.id, edit: row.edit, publishedAt: IsNull() };
    const { affected } = await tx.update(PolicyVersionRow, where, { ...change, edit: row.edit + 1 });
    return affected === 1;
  }

  /** Publishes a version that comes along published: whoever published it has approved it. */
  override async publish(tx: EntityManager, key: DocumentKey, edit: number, by: Publication): Promise<boolean> {
    const row = await this.find(tx, key);
    if (row === null || row.edit !== edit) return false;
    const approval = { approvedBy: by.by, approvedAt: by.at, approvedHash: row.hash, stage: 'approved' } as const;
    return this.advance(tx, row, { ...approval, publishedBy: by.by, publishedAt: by.at });
  }

  /** The time zones that versions govern in, by their ids. */
  async zones(tx: EntityManager, tenant: string, ids: readonly string[]): Promise<ReadonlyMap<string, string>> {
    const rows = await tx.query<{ id: string; zone: string }[]>(
      `select id, body ->> 'zone' zone from policy_version where tenant_id = $1 and id = any($2::uuid[])`,
      [tenant, ids],
    );
    return new Map(rows.map(({ id, zone }) => [id, zone]));
  }

  /** A version by its id. */
  async byId(tx: EntityManager, tenant: string, id: string | undefined): Promise<PolicyVersionRow | null> {
    return id === undefined ? null : tx.findOneBy(PolicyVersionRow, { tenantId: tenant, id });
  }
}
