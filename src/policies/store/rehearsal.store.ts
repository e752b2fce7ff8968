import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type {
  ChangeOrder,
  RehearsalChange,
  RehearsalResult,
  RehearsalState,
  RehearsalWish,
} from '../rehearsals.contract.js';

/** One rehearsal as it is kept. */
export interface RehearsalRow {
  readonly id: string;
  readonly tenantId: string;
  readonly policyVersionId: string;
  readonly code: string;
  readonly version: number;
  readonly hash: string;
  readonly jurisdiction: string;
  readonly wish: RehearsalWish;
  readonly state: RehearsalState;
  /** Claims to go through; null until they have been counted. */
  readonly claims: number | null;
  /** Claims gone through. */
  readonly done: number;
  readonly askedBy: string;
  readonly askedAt: string;
  readonly finishedAt: string | null;
  readonly result: RehearsalResult | null;
  readonly problem: string | null;
}

type Stored = Omit<RehearsalRow, 'askedAt' | 'finishedAt' | 'done'> & {
  readonly askedAt: Date;
  readonly finishedAt: Date | null;
  readonly done: string;
};

const COLUMNS = `h.id, h.tenant_id "tenantId", h.policy_version_id "policyVersionId", h.code, h.version, h.hash, h.jurisdiction,
  h.wish, h.state, h.claims, h.asked_by "askedBy", h.asked_at "askedAt", h.finished_at "finishedAt", h.result, h.problem,
  coalesce((select sum(b.claims) from rehearsal_batch b where b.rehearsal_id = h.id and b.totals is not null), 0) done`;

/** Rehearsals and what they found. */
@Injectable()
export class RehearsalStore {
  async insert(
    tx: EntityManager,
    row: Omit<RehearsalRow, 'state' | 'claims' | 'done' | 'finishedAt' | 'result' | 'problem'> & {
      readonly document: object;
    },
  ): Promise<void> {
    await tx.query(
      `insert into rehearsal (id, tenant_id, policy_version_id, code, version, hash, document, jurisdiction, wish, state, asked_by, asked_at)
       values ($1, $2, $3, $4, $5, $6, $7::jsonb, $8, $9::jsonb, 'waiting', $10, $11)`,
      [
        row.id,
        row.tenantId,
        row.policyVersionId,
        row.code,
        row.version,
        row.hash,
        JSON.stringify(row.document),
        row.jurisdiction,
        JSON.stringify(row.wish),
        row.askedBy,
        row.askedAt,
      ],
    );
  }

  async find(tx: EntityManager, tenant: string, id: string): Promise<RehearsalRow | null> {
    const rows = await tx.query<Stored[]>(`select ${COLUMNS} from rehearsal h where h.tenant_id = $1 and h.id = $2`, [
      tenant,
      id,
    ]);
    return rows[0] === undefined ? null : toRow(rows[0]);
  }

  /** The rehearsals of a policy, newest first. */
  async page(
    tx: EntityManager,
    of: { readonly tenant: string; readonly code: string },
    after: { readonly askedAt: string; readonly id: string } | undefined,
    limit: number,
  ): Promise<RehearsalRow[]> {
    const rows = await tx.query<Stored[]>(
      `select ${COLUMNS} from rehearsal h where h.tenant_id = $1 and h.code = $2
         and ($3::timestamptz is null or (h.asked_at, h.id) < ($3::timestamptz, $4::uuid))
       order by h.asked_at desc, h.id desc limit $5`,
      [of.tenant, of.code, after?.askedAt ?? null, after?.id ?? null, limit],
    );
    return rows.map(toRow);
  }

  /** The newest finished rehearsal of exactly this content that looked at any claim. */
  async finishedOf(tx: EntityManager, tenant: string, versionId: string, hash: string): Promise<RehearsalRow | null> {
    const rows = await tx.query<Stored[]>(
      `select ${COLUMNS} from rehearsal h where h.tenant_id = $1 and h.policy_version_id = $2 and h.hash = $3
         and h.state = 'finished' and h.claims > 0 order by h.finished_at desc limit 1`,
      [tenant, versionId, hash],
    );
    return rows[0] === undefined ? null : toRow(rows[0]);
  }

  /** Ends a rehearsal that has not ended. @returns whether it was this call that did */
  async end(
    tx: EntityManager,
    row: Pick<RehearsalRow, 'tenantId' | 'id'>,
    end: { readonly state: 'cancelled' | 'failed'; readonly at: string; readonly problem?: string },
  ): Promise<boolean> {
    const ended = await tx.query<[unknown[], number]>(
      `update rehearsal set state = $3, finished_at = $4, problem = $5
       where tenant_id = $1 and id = $2 and state in ('waiting', 'running') returning id`,
      [row.tenantId, row.id, end.state, end.at, end.problem ?? null],
    );
    return ended[1] === 1;
  }

  /** Writes down what a rehearsal found; its stretches are no longer needed. */
  async finish(
    tx: EntityManager,
    row: Pick<RehearsalRow, 'tenantId' | 'id'>,
    end: { readonly result: RehearsalResult; readonly at: string },
  ): Promise<void> {
    const finished = await tx.query<[unknown[], number]>(
      `update rehearsal set state = 'finished', finished_at = $3, result = $4::jsonb, claims = $5
       where tenant_id = $1 and id = $2 and state = 'running'`,
      [row.tenantId, row.id, end.at, JSON.stringify(end.result), end.result.claims],
    );
    if (finished[1] !== 1) return;
    await tx.query('delete from rehearsal_batch where tenant_id = $1 and rehearsal_id = $2', [row.tenantId, row.id]);
  }

  /** Claims that come out otherwise, in an order. @param kind only changes of this kind */
  async changes(
    tx: EntityManager,
    of: { readonly tenant: string; readonly rehearsal: string; readonly kind?: string | undefined },
    list: { readonly order: ChangeOrder; readonly after: ChangePlace | undefined; readonly limit: number },
  ): Promise<(RehearsalChange & { readonly place: string | number })[]> {
    const { place, type, by = place } = ORDERS[list.order];
    const rows = await tx.query<StoredChange[]>(
      `${CHANGES(place)} where c.tenant_id = $1 and c.rehearsal_id = $2 and ($3::text is null or $3 = any(c.kinds))
         and ($4::${type} is null or (${place}, c.record_id) > ($4::${type}, $5::uuid))
       order by ${by}, c.record_id limit $6`,
      [of.tenant, of.rehearsal, of.kind ?? null, list.after?.place ?? null, list.after?.record ?? null, list.limit],
    );
    return rows.map((row) => ({ ...toChange(row), place: type === 'text' ? row.place : Number(row.place) }));
  }

  /** One claim that comes out otherwise, with the document that was rehearsed and the one it is compared with. */
  async changed(
    tx: EntityManager,
    of: { readonly tenant: string; readonly rehearsal: string; readonly record: string },
  ): Promise<RehearsedChange | null> {
    const [change] = await tx.query<StoredChange[]>(
      `${CHANGES('0')} where c.tenant_id = $1 and c.rehearsal_id = $2 and c.record_id = $3`,
      [of.tenant, of.rehearsal, of.record],
    );
    const [documents] = await tx.query<{ document: object; against: object | null }[]>(
      `select h.document, v.body against from rehearsal h left join policy_version v
         on v.tenant_id = h.tenant_id and v.code = h.code and v.version = (h.wish ->> 'against')::int
       where h.tenant_id = $1 and h.id = $2`,
      [of.tenant, of.rehearsal],
    );
    return change === undefined || documents === undefined ? null : { change: toChange(change), ...documents };
  }
}

/** A change with what is needed to show how it comes about. */
export interface RehearsedChange {
  readonly change: RehearsalChange;
  readonly document: object;
  /** Null where it is compared with what was said at the time. */
  readonly against: object | null;
}

/** Where a page of changes begins: behind this one. */
export interface ChangePlace {
  readonly place: string | number;
  readonly record: string;
}

interface StoredChange {
  readonly record_id: string;
  readonly claim_id: string;
  readonly kinds: string[];
  readonly body: object;
  readonly number: string | null;
  readonly place: string;
}

/** What a customer gets more; 0 where the version cannot be applied. */
const GAIN = `(case when c.body -> 'becomes' = 'null'::jsonb then 0
  else (c.body -> 'becomes' ->> 'customerMinor')::bigint - (c.body -> 'was' ->> 'customerMinor')::bigint end)`;

/** By what changes are put in order, always upwards; `by` says the same in the words of an index. */
const ORDERS: Readonly<
  Record<ChangeOrder, { readonly place: string; readonly type: 'bigint' | 'text'; readonly by?: string }>
> = {
  money: { place: '(-c.weight)', type: 'bigint', by: 'c.weight desc' },
  more: { place: `(-${GAIN})`, type: 'bigint' },
  less: { place: GAIN, type: 'bigint' },
  number: { place: `coalesce(claim.number, '')`, type: 'text' },
};

const CHANGES = (
  place: string,
): string => `select c.record_id, c.claim_id, c.kinds, c.body, claim.number, ${place} place
  from rehearsal_change c left join claim on claim.tenant_id = c.tenant_id and claim.id = c.claim_id`;

function toChange({ record_id: record, claim_id: claim, kinds, body, number }: StoredChange): RehearsalChange {
  const rest = body as Omit<RehearsalChange, 'record' | 'claim' | 'number' | 'kinds'>;
  return { ...rest, record, claim, number, kinds: kinds as RehearsalChange['kinds'] };
}

function toRow(stored: Stored): RehearsalRow {
  const { askedAt, finishedAt, done, ...rest } = stored;
  return {
    ...rest,
    done: rest.state === 'finished' ? (rest.claims ?? 0) : Number(done),
    askedAt: askedAt.toISOString(),
    finishedAt: finishedAt?.toISOString() ?? null,
  };
}
