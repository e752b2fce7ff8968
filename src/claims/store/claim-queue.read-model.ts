import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { ClaimState, Component, Ground, Remedy } from '../../kernel/vocabulary.js';
import type { CursorKey } from '../../platform/http/pages.js';
import type { InformationRequestRow } from './claim.entity.js';
import { TAKER_JOIN, type TakerName } from './claim-taker.store.js';

/** One line of a list of claims. */
export interface ClaimLine {
  readonly id: string;
  readonly number: string | null;
  readonly state: ClaimState;
  readonly ground: Ground;
  /** What is broken, as the assessment has it: the component of each finding, without repeats. */
  readonly components: readonly Component[];
  readonly model: string;
  readonly serial: string;
  readonly retailer: string;
  readonly orderReference: string;
  readonly currency: string;
  /** What the standing decision, or else the proposal, pays the customer; null while nothing is known. */
  readonly totalMinor: number | null;
  /** What was decided, or else proposed, to give. */
  readonly remedies: readonly Remedy[];
  readonly outcome: string | null;
  readonly awaitingSecondPerson: boolean;
  /** Who of the desk has taken it; null for nobody's, and to whoever is not of the desk. */
  readonly takenBy: TakerName | null;
  readonly dueAt: string | null;
  /** By when the retailer may expect the next step, RFC 3339; null where nothing is promised. */
  readonly promisedAt: string | null;
  readonly dueClock: string | null;
  readonly openedAt: string;
  readonly updatedAt: string;
}

export interface ClaimFilter {
  readonly states?: readonly ClaimState[];
  readonly ground?: Ground;
  /** Part of a claim number, serial number or order reference. */
  readonly find?: string;
  /** Only claims whose decision waits for a second person, or only those where none does. */
  readonly awaiting?: boolean;
  /** Only claims with an open question to this party. */
  readonly asked?: InformationRequestRow['ofParty'];
  /** Only claims that this person has taken (uuid). */
  readonly takenBy?: string;
  /** Only claims that were opened at this instant or later (RFC 3339). */
  readonly openedFrom?: string;
  /** Only claims that were opened before this instant (RFC 3339). */
  readonly openedBefore?: string;
  readonly order: 'due' | 'newest' | 'opened';
}

/** Sorts what has no running clock behind everything that has one, and is an instant that a cursor can hold. */
export const NEVER = '9999-12-31T00:00:00Z';

const ORDER_KEYS = {
  due: `coalesce(c.due_at, '${NEVER}')`,
  newest: 'c.updated_at',
  opened: 'c.created_at',
} as const satisfies Readonly<Record<ClaimFilter['order'], string>>;

const AWAITS = `c.state = 'proposed'
    and exists (select 1 from claim_decision w where w.claim_id = c.id and w.state = 'awaiting second person')`;

const SELECT = `select c.id, c.number, c.state, c.ground, m.title as model, u.serial, r.name as retailer,
    v.order_reference as "orderReference", c.currency,
    coalesce(d.total_minor, (a.assessment #>> '{remedy,customerTotalMinor}')::bigint) as "totalMinor", d.outcome,
    coalesce(d.body -> 'remedies', jsonb_path_query_array(a.assessment, '$.remedy.chosen[*].remedy'), '[]') as remedies,
    coalesce((select json_agg(distinct f #>> '{leading,component}')
      from jsonb_array_elements(a.assessment -> 'findings') f), '[]') as components,
    ${AWAITS} as "awaitingSecondPerson",
    case when p.id is not null then json_build_object('id', p.id, 'name', p.name) end as "takenBy",
    c.due_at as "dueAt", c.due_clock as "dueClock",
    c.promised_at as "promisedAt", c.created_at as "openedAt", c.updated_at as "updatedAt"
  from claim c
  join visit v on v.tenant_id = c.tenant_id and v.id = c.visit_id
  join visit_unit u on u.tenant_id = c.tenant_id and u.id = c.unit_id
  join model m on m.tenant_id = c.tenant_id and m.id = u.model_id
  join retailer r on r.tenant_id = c.tenant_id and r.id = c.retailer_id
  left join claim_decision d on d.tenant_id = c.tenant_id and d.id = c.decision_id
  left join claim_assessment a on a.tenant_id = c.tenant_id and a.id = c.assessment_id
  ${TAKER_JOIN}`;

/** Lists of claims in SQL, for the desk's queue and the retailer's board. */
@Injectable()
export class ClaimQueueReadModel {
  /**
   * Claims of a tenant that the transaction may see, `limit + 1` at most so that the caller knows whether there are more.
   * `due` puts what is due first and what has no clock last; `newest` puts the last change first; `opened` puts the oldest first, and no
   * change moves a claim in it, so that going through all pages meets each claim once.
   */
  async page(
    tx: EntityManager,
    tenant: string,
    filter: ClaimFilter,
    after: CursorKey | undefined,
    limit: number,
  ): Promise<ClaimLine[]> {
    const values: unknown[] = [tenant];
    const bind = (value: unknown): string => `$${values.push(value)}`;
    const where = ['c.tenant_id = $1'];
    if (filter.states?.length) where.push(`c.state = any (${bind(filter.states)}::text[])`);
    if (filter.ground) where.push(`c.ground = ${bind(filter.ground)}`);
    if (filter.awaiting !== undefined) where.push(filter.awaiting ? AWAITS : `not (${AWAITS})`);
    if (filter.find) {
      const like = bind(`%${filter.find.replaceAll(/[\\%_]/g, (sign) => `\\${sign}`)}%`);
      const digits = filter.find.replaceAll(/[\s.-]/g, '');
      const number = /^\d+$/.test(digits) ? ` or c.number like ${bind(`%${digits}%`)}` : '';
      where.push(`(u.serial ilike ${like} or v.order_reference ilike ${like}${number})`);
    }
    if (filter.asked) {
      const of = `q.claim_id = c.id and q.answered_at is null and q.of_party = ${bind(filter.asked)}`;
      where.push(`c.state = 'needs information' and exists (select 1 from information_request q where ${of})`);
    }
    if (filter.takenBy) where.push(`p.id = ${bind(filter.takenBy)}::uuid`);
    if (filter.openedFrom) where.push(`c.created_at >= ${bind(filter.openedFrom)}::timestamptz`);
    if (filter.openedBefore) where.push(`c.created_at < ${bind(filter.openedBefore)}::timestamptz`);
    const key = ORDER_KEYS[filter.order];
    const [sign, direction] = filter.order === 'newest' ? ['<', 'desc'] : ['>', 'asc'];
    if (after) where.push(`(${key}, c.id) ${sign} (${bind(after[0])}::timestamptz, ${bind(after[1])}::uuid)`);
    const sql = `${SELECT} where ${where.join(' and ')} order by ${key} ${direction}, c.id ${direction} limit ${limit + 1}`;
    const rows = await tx.query<RawLine[]>(sql, values);
    return rows.map(line);
  }

  /** How many claims are in each state, for the counts beside the views. */
  async counts(tx: EntityManager, tenant: string): Promise<Partial<Record<ClaimState, number>>> {
    const rows = await tx.query<{ state: ClaimState; count: string }[]>(
      'select c.state, count(*) as count from claim c where c.tenant_id = $1 group by c.state',
      [tenant],
    );
    return Object.fromEntries(rows.map(({ state, count }) => [state, Number(count)]));
  }

  /** How many claims wait for a second person. */
  async awaiting(tx: EntityManager, tenant: string): Promise<number> {
    const rows = await tx.query<{ count: string }[]>(
      `select count(*) as count from claim c where c.tenant_id = $1 and ${AWAITS}`,
      [tenant],
    );
    return Number(rows[0]?.count ?? 0);
  }

  /** One claim as a line, by the condition of the caller's choice. */
  async one(tx: EntityManager, tenant: string, id: string): Promise<ClaimLine | undefined> {
    const rows = await tx.query<RawLine[]>(`${SELECT} where c.tenant_id = $1 and c.id = $2`, [tenant, id]);
    return rows.map(line)[0];
  }
}

type RawLine = Omit<ClaimLine, 'totalMinor' | 'dueAt' | 'promisedAt' | 'openedAt' | 'updatedAt'> & {
  readonly totalMinor: string | null;
  readonly dueAt: Date | null;
  readonly promisedAt: Date | null;
  readonly openedAt: Date;
  readonly updatedAt: Date;
};

function line(row: RawLine): ClaimLine {
  return {
    ...row,
    totalMinor: row.totalMinor === null ? null : Number(row.totalMinor),
    dueAt: row.dueAt?.toISOString() ?? null,
    promisedAt: row.promisedAt?.toISOString() ?? null,
    openedAt: row.openedAt.toISOString(),
    updatedAt: row.updatedAt.toISOString(),
  };
}
