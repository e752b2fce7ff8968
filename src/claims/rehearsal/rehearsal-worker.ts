import type { Client } from 'pg';
import { ownHolidays, type HolidayLookup, type OwnHoliday } from '../../adjudication/adjudication.contract.js';
import { holidaysOf } from '../../platform/calendar/holidays.js';
import type { RehearsalWish } from '../../policies/rehearsals.contract.js';
import { RehearsalTotals } from '../domain/rehearsal-totals.js';
import { planStretches, recordsOfStretch, type Stretch, type StretchRecord } from './rehearsal-statements.js';
import { rehearseClaim, type KeptRecord, type Rehearsing, type RehearsalRowBody } from './rehearse-claim.js';
import { rehearsedPolicy, versionBefore, type VersionBefore } from './rehearsed-policy.js';
import { COMPARED_DOCUMENT, rehearsedRegions } from './rehearsed-regions.js';

/** Which rehearsal to work on. */
export interface RehearsalOrder {
  /** uuid */
  readonly tenant: string;
  /** uuid */
  readonly rehearsal: string;
}

interface Asked {
  readonly hash: string;
  readonly document: object;
  readonly jurisdiction: string;
  readonly wish: RehearsalWish;
  readonly code: string;
}

/**
 * Works off stretches of one rehearsal, until there are none left or it is cancelled. Each stretch is one transaction: what it found and
 * that it is done are written together, so a worker that dies leaves nothing half done, and any number of workers may work side by side.
 */
export class RehearsalWorker {
  private readonly versions = new Map<string, VersionBefore>();
  private readonly tables = new Map<string, HolidayLookup>();
  private own: (OwnHoliday & { readonly country: string })[] = [];

  constructor(
    private readonly client: Client,
    private readonly order: RehearsalOrder,
  ) {}

  /** @returns how many claims this worker went through */
  async run(): Promise<number> {
    const asked = await this.begin();
    if (asked === undefined) return 0;
    const by = await this.prepare(asked);
    let claims = 0;
    for (let done = await this.stretch(asked, by); done !== undefined; done = await this.stretch(asked, by))
      claims += done;
    return claims;
  }

  /** Reads what was asked for, and cuts the records into stretches unless another worker has done that. */
  private async begin(): Promise<Asked | undefined> {
    return this.inTenant(async () => {
      const { rows } = await this.client.query<Asked & { state: string }>(
        `select code, hash, document, jurisdiction, wish, state from rehearsal where tenant_id = $1 and id = $2 for update`,
        [this.order.tenant, this.order.rehearsal],
      );
      const [row] = rows;
      if (row === undefined || (row.state !== 'waiting' && row.state !== 'running')) return undefined;
      if (row.state === 'running') return row;
      return { ...row, wish: await planStretches(this.client, this.order, row) };
    });
  }

  private async prepare(asked: Asked): Promise<Rehearsing> {
    const draft = rehearsedPolicy(asked.document);
    const { against, comparedWith, on } = asked.wish;
    const other = await this.inTenant(async () => {
      const own = await this.client.query<OwnHoliday & { country: string }>(
        `select country, region, on_date::text "on", kind, is_holiday holiday from holiday_override where tenant_id = $1`,
        [this.order.tenant],
      );
      this.own = own.rows;
      const { rows } = await this.client.query<{ body: object }>(COMPARED_DOCUMENT, [
        this.order.tenant,
        asked.code,
        comparedWith ?? null,
      ]);
      return rows[0]?.body;
    });
    const before = other === undefined ? undefined : rehearsedPolicy(other);
    return {
      draft,
      ...(before === undefined || against === undefined ? {} : { against: before }),
      ...(on === undefined ? {} : { on }),
      holidays: (place) => this.holidays(place),
      regions: before === undefined ? [] : rehearsedRegions(before.policy, draft.policy),
    };
  }

  /** One stretch, or undefined where none is left or the rehearsal has ended. */
  private async stretch(asked: Asked, by: Rehearsing): Promise<number | undefined> {
    return this.inTenant(async () => {
      const { tenant, rehearsal } = this.order;
      const { rows } = await this.client.query<Stretch>(
        `select b.n, b.from_at::text "fromAt", b.from_id "fromId", b.to_at::text "toAt", b.to_id "toId"
         from rehearsal_batch b join rehearsal h on h.tenant_id = b.tenant_id and h.id = b.rehearsal_id
         where b.tenant_id = $1 and b.rehearsal_id = $2 and b.totals is null and h.state = 'running'
         order by b.n limit 1 for update of b skip locked`,
        [tenant, rehearsal],
      );
      const [stretch] = rows;
      if (stretch === undefined) return undefined;
      const records = await recordsOfStretch(this.client, this.order, asked, stretch);
      await this.learnVersions(records, by);
      const totals = new RehearsalTotals();
      const changes: RehearsalRowBody[] = [];
      for (const { versionId, ...record } of records) {
        const kept: KeptRecord = { ...record, version: this.versions.get(versionId) };
        const { claim, change } = rehearseClaim(kept, by);
        totals.add(claim);
        if (change !== undefined) changes.push(change);
      }
      await this.write(stretch.n, totals, changes);
      return records.length;
    });
  }

  private async write(n: number, totals: RehearsalTotals, changes: readonly RehearsalRowBody[]): Promise<void> {
    const { tenant, rehearsal } = this.order;
    if (changes.length > 0) {
      const rows = changes.map(({ record, claim, weight, kinds, ...body }) => ({ record, claim, weight, kinds, body }));
      await this.client.query(
        `insert into rehearsal_change (tenant_id, rehearsal_id, record_id, claim_id, weight, kinds, body)
         select $1, $2, c.record, c.claim, c.weight, c.kinds, c.body
         from jsonb_to_recordset($3::jsonb) as c (record uuid, claim uuid, weight bigint, kinds text[], body jsonb)`,
        [tenant, rehearsal, JSON.stringify(rows)],
      );
    }
    await this.client.query(
      'update rehearsal_batch set totals = $4::jsonb, claims = $5 where tenant_id = $1 and rehearsal_id = $2 and n = $3',
      [tenant, rehearsal, n, JSON.stringify(totals), totals.toJSON().claims],
    );
  }

  /** The versions that judged these claims. */
  private async learnVersions(records: readonly StretchRecord[], { draft }: Rehearsing): Promise<void> {
    const unknown = [...new Set(records.map(({ versionId }) => versionId))].filter((id) => !this.versions.has(id));
    if (unknown.length === 0) return;
    const { rows } = await this.client.query<{ id: string; body: object }>(
      'select id, body from policy_version where tenant_id = $1 and id = any($2::uuid[])',
      [this.order.tenant, unknown],
    );
    for (const { id, body } of rows) this.versions.set(id, versionBefore(body, draft));
  }

  private holidays(place: string): HolidayLookup {
    const known = this.tables.get(place);
    if (known !== undefined) return known;
    const [country = '', region = ''] = place.split('-', 2);
    const own = this.own.filter((one) => one.country === country && (one.region === '' || one.region === region));
    const lookup = ownHolidays(holidaysOf(place), own);
    this.tables.set(place, lookup);
    return lookup;
  }

  private async inTenant<T>(work: () => Promise<T>): Promise<T> {
    await this.client.query('begin');
    try {
      await this.client.query(`select set_config('app.tenant', $1, true)`, [this.order.tenant]);
      const result = await work();
      await this.client.query('commit');
      return result;
    } catch (error) {
      await this.client.query('rollback').catch(() => undefined);
      throw error;
    }
  }
}
