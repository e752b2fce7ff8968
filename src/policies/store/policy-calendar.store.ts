import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { place, type Period, type Placement } from '../versions/periods.js';
import type { PolicyVersionRow } from './policy-version.entity.js';

/** A step in the life of a version. */
export interface PolicyStep {
  readonly n: number;
  readonly kind: 'drafted' | 'edited' | 'proposed' | 'approved' | 'rejected' | 'published' | 'withdrawn';
  /** RFC 3339 instant */
  readonly at: string;
  /** uuid of the person */
  readonly by: string;
  /** Content that the step was about. */
  readonly hash: string;
  readonly words: string | null;
  readonly body: Readonly<Record<string, unknown>>;
}

/** A place on the calendar with what was written down when. */
export interface RecordedPeriod extends Period {
  readonly because: 'published' | 'cut' | 'restored';
  readonly recordedAt: string;
  readonly supersededAt: string | null;
}

interface PeriodRow {
  readonly id: string;
  readonly policy_version_id: string;
  readonly version: number;
  readonly from: string;
  readonly to: string | null;
  readonly because: RecordedPeriod['because'];
  readonly recorded_at: Date;
  readonly superseded_at: Date | null;
}

const PERIOD = `id, policy_version_id, version, lower(effective)::text "from", upper(effective)::text "to", because, recorded_at, superseded_at`;

/** The calendar of policies, appended to and superseded, and the steps that led to it. */
@Injectable()
export class PolicyCalendarStore {
  /** Two people who change the calendar of one policy wait for each other until the transaction ends. */
  async lock(tx: EntityManager, tenant: string, code: string): Promise<void> {
    await tx.query(`select pg_advisory_xact_lock(hashtextextended($1, 0))`, [`policy_period ${tenant} ${code}`]);
  }

  /** Everything that was ever on the calendar of a policy, in the order in which it was written down. */
  async history(tx: EntityManager, tenant: string, code: string): Promise<RecordedPeriod[]> {
    const rows = await tx.query<PeriodRow[]>(
      `select ${PERIOD} from policy_period where tenant_id = $1 and code = $2 order by recorded_at, lower(effective), version`,
      [tenant, code],
    );
    return rows.map(toPeriod);
  }

  /** What is on the calendar now, for versions by their ids. */
  async live(tx: EntityManager, tenant: string, versionIds: readonly string[]): Promise<RecordedPeriod[]> {
    const rows = await tx.query<PeriodRow[]>(
      `select ${PERIOD} from policy_period
       where tenant_id = $1 and policy_version_id = any($2::uuid[]) and superseded_at is null order by lower(effective)`,
      [tenant, versionIds],
    );
    return rows.map(toPeriod);
  }

  /** Puts a published version on the calendar, on its days, and notes who did. */
  async publish(
    tx: EntityManager,
    row: PolicyVersionRow,
    by: { readonly at: string; readonly by: string },
  ): Promise<Placement> {
    await this.lock(tx, row.tenantId, row.code);
    const history = await this.history(tx, row.tenantId, row.code);
    const placed = place(history.filter(isLive), { from: row.effectiveFrom, to: row.effectiveTo });
    const at = notBefore(history, by.at);
    await this.write(tx, row, { ...placed, because: 'cut' }, at);
    const own = { versionId: row.id, version: row.version, ...placed.days };
    await this.append(tx, row, { ...own, because: 'published' }, at);
    await this.note(tx, row, { kind: 'published', ...by, body: { ...placed.days } });
    return placed;
  }

  /** Writes a placement down: closes what no longer holds, and appends what is left of it. */
  async write(
    tx: EntityManager,
    row: PolicyVersionRow,
    placement: Omit<Placement, 'days'> & { readonly because: 'cut' | 'restored' },
    at: string,
  ): Promise<void> {
    const { superseded, left, because } = placement;
    await tx.query(`update policy_period set superseded_at = $3 where tenant_id = $1 and id = any($2::uuid[])`, [
      row.tenantId,
      superseded.map(({ id }) => id),
      at,
    ]);
    for (const one of left) await this.append(tx, row, { ...one, because }, at);
  }

  /** Puts days on the calendar. */
  async append(
    tx: EntityManager,
    row: Pick<PolicyVersionRow, 'tenantId' | 'code' | 'jurisdiction'>,
    one: Omit<Period, 'id'> & Pick<RecordedPeriod, 'because'>,
    at: string,
  ): Promise<void> {
    await tx.query(
      `insert into policy_period (tenant_id, policy_version_id, code, version, jurisdiction, effective, because, recorded_at)
       select $1, $2, $3, $4, v.jurisdiction, daterange($5, $6), $7, $8 from policy_version v where v.tenant_id = $1 and v.id = $2`,
      [row.tenantId, one.versionId, row.code, one.version, one.from, one.to, one.because, at],
    );
  }

  /** The steps of a version, oldest first. */
  async steps(tx: EntityManager, tenant: string, versionId: string): Promise<PolicyStep[]> {
    const rows = await tx.query<(Omit<PolicyStep, 'at'> & { readonly at: Date })[]>(
      `select n, kind, at, by, hash, words, body from policy_step where tenant_id = $1 and policy_version_id = $2 order by n`,
      [tenant, versionId],
    );
    return rows.map((step) => ({ ...step, at: step.at.toISOString() }));
  }

  /** Which of some versions have been withdrawn. */
  async withdrawn(tx: EntityManager, tenant: string, versionIds: readonly string[]): Promise<ReadonlySet<string>> {
    const rows = await tx.query<{ id: string }[]>(
      `select distinct policy_version_id id from policy_step
       where tenant_id = $1 and policy_version_id = any($2::uuid[]) and kind = 'withdrawn'`,
      [tenant, versionIds],
    );
    return new Set(rows.map(({ id }) => id));
  }

  /** Notes a step. The version's row is held by the caller, so numbers follow each other. */
  async note(
    tx: EntityManager,
    row: Pick<PolicyVersionRow, 'tenantId' | 'id' | 'hash'>,
    step: Pick<PolicyStep, 'kind' | 'at' | 'by'> & Partial<Pick<PolicyStep, 'words' | 'body'>>,
  ): Promise<void> {
    await tx.query(
      `insert into policy_step (tenant_id, policy_version_id, n, kind, at, by, hash, words, body)
       select $1, $2, coalesce(max(n), 0) + 1, $3, $4, $5, $6, $7, $8::jsonb from policy_step where tenant_id = $1 and policy_version_id = $2`,
      [
        row.tenantId,
        row.id,
        step.kind,
        step.at,
        step.by,
        row.hash,
        step.words ?? null,
        JSON.stringify(step.body ?? {}),
      ],
    );
  }
}

/** Whether it is on the calendar as it is written down now. */
export function isLive({ supersededAt }: RecordedPeriod): boolean {
  return supersededAt === null;
}

/** When a change of the calendar counts as written down: at its instant, and always later than everything written down before. */
export function notBefore(history: readonly RecordedPeriod[], at: string): string {
  const now = Temporal.Instant.from(at);
  return history
    .map(({ recordedAt, supersededAt }) => Temporal.Instant.from(supersededAt ?? recordedAt).add({ milliseconds: 1 }))
    .reduce((latest, one) => (Temporal.Instant.compare(one, latest) > 0 ? one : latest), now)
    .toString();
}

function toPeriod(row: PeriodRow): RecordedPeriod {
  const { id, version, from, to, because } = row;
  return {
    id,
    versionId: row.policy_version_id,
    version,
    from,
    to,
    because,
    recordedAt: row.recorded_at.toISOString(),
    supersededAt: row.superseded_at?.toISOString() ?? null,
  };
}
