import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { CursorKey } from '../../platform/http/pages.js';

/** One line of the due list. */
export interface DueLine {
  readonly id: string;
  readonly claimId: string;
  readonly number: string | null;
  readonly clock: string;
  readonly occurrence: number;
  readonly title: string;
  readonly ground: string;
  readonly source: string;
  readonly owedBy: string;
  readonly lapse: string;
  readonly effect: string;
  readonly state: 'running' | 'missed';
  readonly startedAt: string;
  readonly lastDay: string;
  readonly endsAt: string;
  readonly warnedAt: readonly string[];
  readonly missedAt: string | null;
}

/** What is asked of the list. */
export interface DueFilter {
  /** Clocks that end before this instant. */
  readonly before: string;
  readonly owedBy?: string;
}

const SELECT = `select k.id, k.claim_id as "claimId", c.number, k.clock_id as clock, k.occurrence, k.title, k.ground, k.source,
    k.owed_by as "owedBy", k.lapse, k.effect, k.state, k.started_at as "startedAt", k.last_day::text as "lastDay",
    k.ends_at as "endsAt", k.warned_at as "warnedAt", k.missed_at as "missedAt"
  from claim_clock k join claim c on c.tenant_id = k.tenant_id and c.id = k.claim_id`;

/** Clocks that are about to end, and those that were missed and are still not met, soonest first. */
@Injectable()
export class DueListReadModel {
  /** Up to `limit + 1` lines after the cursor, of the claims that the transaction may see. */
  async page(
    tx: EntityManager,
    tenant: string,
    filter: DueFilter,
    after: CursorKey | undefined,
    limit: number,
  ): Promise<DueLine[]> {
    const values: unknown[] = [tenant, filter.before];
    const bind = (value: unknown): string => `$${values.push(value)}`;
    const where = [
      `k.tenant_id = $1 and k.ends_at < $2 and k.state in ('running', 'missed')`,
      // What was done late was missed, but nobody has to do it any more.
      `(k.state = 'running' or k.stopped_at is null and c.state not in ('closed', 'withdrawn'))`,
      `c.state <> 'withdrawn'`,
    ];
    if (filter.owedBy !== undefined) where.push(`k.owed_by = ${bind(filter.owedBy)}`);
    if (after) where.push(`(k.ends_at, k.id) > (${bind(after[0])}::timestamptz, ${bind(after[1])}::uuid)`);
    const sql = `${SELECT} where ${where.join(' and ')} order by k.ends_at, k.id limit ${limit + 1}`;
    return (await tx.query<RawLine[]>(sql, values)).map(line);
  }
}

type RawLine = Omit<DueLine, 'startedAt' | 'endsAt' | 'warnedAt' | 'missedAt'> & {
  readonly startedAt: Date;
  readonly endsAt: Date;
  readonly warnedAt: readonly Date[];
  readonly missedAt: Date | null;
};

function line(row: RawLine): DueLine {
  return {
    ...row,
    startedAt: row.startedAt.toISOString(),
    endsAt: row.endsAt.toISOString(),
    warnedAt: row.warnedAt.map((at) => at.toISOString()),
    missedAt: row.missedAt?.toISOString() ?? null,
  };
}
