import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { contentHash } from '../../kernel/canonical-json.js';
import type { CursorKey } from '../../platform/http/pages.js';
import { Refused } from '../../platform/http/problems.js';
import type { Need } from '../../adjudication/adjudication.contract.js';
import type {
  LiableParty,
  Particulars,
  RecoveryDemand,
  RecoveryEvent,
  RecoveryStanding,
  RecoveryState,
} from '../recovery.contract.js';

/** A recovery as it is stored. Instants as RFC 3339 text in UTC. */
export interface RecoveryRow extends RecoveryStanding {
  readonly id: string;
  readonly tenantId: string;
  readonly claimId: string;
  readonly claimNumber: string | null;
  readonly decisionId: string;
  readonly party: LiableParty;
  readonly partyName: string;
  readonly currency: string;
  readonly demand: RecoveryDemand;
  readonly needs: readonly Need[];
  readonly particulars: Particulars;
  readonly theirReference: string | null;
  readonly sentAt: string | null;
  readonly acknowledgedAt: string | null;
  readonly answeredAt: string | null;
  readonly version: number;
  readonly createdAt: string;
  readonly updatedAt: string;
}

export type NewRecovery = Omit<RecoveryRow, 'claimNumber' | 'version' | 'createdAt' | 'updatedAt'>;
export type RecoveryChange = Partial<Omit<NewRecovery, 'id' | 'tenantId' | 'claimId' | 'party'>>;

export interface RecoveryFilter {
  readonly state?: RecoveryState;
  readonly party?: LiableParty;
}

/** What happened, before it is chained. */
export type RecoveryHappening = Pick<RecoveryEvent, 'kind' | 'at' | 'actor' | 'body'>;

const COLUMNS: Readonly<Record<keyof NewRecovery, string>> = {
  id: 'id',
  tenantId: 'tenant_id',
  claimId: 'claim_id',
  decisionId: 'decision_id',
  party: 'party',
  partyName: 'party_name',
  state: 'state',
  currency: 'currency',
  demand: 'demand',
  needs: 'needs',
  particulars: 'particulars',
  demandedMinor: 'demanded_minor',
  bookedMinor: 'booked_minor',
  offeredMinor: 'offered_minor',
  paidMinor: 'paid_minor',
  salvageMinor: 'salvage_minor',
  writtenOffMinor: 'written_off_minor',
  theirReference: 'their_reference',
  sentAt: 'sent_at',
  acknowledgedAt: 'acknowledged_at',
  answeredAt: 'answered_at',
};
const NAMES = Object.keys(COLUMNS) as (keyof NewRecovery)[];

const SELECT = `select ${NAMES.map((name) => `r.${COLUMNS[name]} as "${name}"`).join(', ')}, r.version,
    r.created_at as "createdAt", r.updated_at as "updatedAt", c.number as "claimNumber"
  from recovery r join claim c on c.tenant_id = r.tenant_id and c.id = r.claim_id`;

/** The hash before the first event of a chain. */
const GENESIS = '0'.repeat(64);

/** Recoveries in PostgreSQL. Every call takes the transaction first; row-level security is the second wall. */
@Injectable()
export class RecoveryStore {
  /** @throws Refused not-found when there is none or the transaction may not see it; the two look alike. */
  async find(tx: EntityManager, tenant: string, id: string): Promise<RecoveryRow> {
    const rows = await tx.query<RawRow[]>(`${SELECT} where r.tenant_id = $1 and r.id = $2`, [tenant, id]);
    return only(rows);
  }

  /** Reads a recovery and holds it until the transaction ends. */
  async lock(tx: EntityManager, tenant: string, id: string): Promise<RecoveryRow> {
    const rows = await tx.query<RawRow[]>(`${SELECT} where r.tenant_id = $1 and r.id = $2 for update of r`, [
      tenant,
      id,
    ]);
    return only(rows);
  }

  /** The recoveries of a claim in the order of their parties' names, held where `hold` is true. */
  async ofClaim(tx: EntityManager, tenant: string, claimId: string, hold = false): Promise<RecoveryRow[]> {
    const sql = `${SELECT} where r.tenant_id = $1 and r.claim_id = $2 order by r.party${hold ? ' for update of r' : ''}`;
    return (await tx.query<RawRow[]>(sql, [tenant, claimId])).map(row);
  }

  /** Recoveries newest first, `limit + 1` at most so that the caller knows whether there are more. */
  async page(
    tx: EntityManager,
    tenant: string,
    by: { readonly filter: RecoveryFilter; readonly after: CursorKey | undefined; readonly limit: number },
  ): Promise<RecoveryRow[]> {
    const values: unknown[] = [tenant];
    const bind = (value: unknown): string => `$${values.push(value)}`;
    const where = ['r.tenant_id = $1'];
    if (by.filter.state) where.push(`r.state = ${bind(by.filter.state)}`);
    if (by.filter.party) where.push(`r.party = ${bind(by.filter.party)}`);
    if (by.after) where.push(`(r.created_at, r.id) < (${bind(by.after[0])}::timestamptz, ${bind(by.after[1])}::uuid)`);
    const order = `order by r.created_at desc, r.id desc limit ${by.limit + 1}`;
    return (await tx.query<RawRow[]>(`${SELECT} where ${where.join(' and ')} ${order}`, values)).map(row);
  }

  /** Every demand that was sent to a kind of party, oldest first; those of one name where it is given. */
  async sentTo(
    tx: EntityManager,
    tenant: string,
    party: LiableParty,
    name: string | undefined,
  ): Promise<RecoveryRow[]> {
    const values = [tenant, party, name ?? null];
    const where = `r.tenant_id = $1 and r.party = $2 and r.sent_at is not null and ($3::text is null or r.party_name = $3)`;
    const sql = `${SELECT} where ${where} order by r.party_name, r.sent_at, r.id limit ${MOST_ON_A_STATEMENT + 1}`;
    return (await tx.query<RawRow[]>(sql, values)).map(row);
  }

  async insert(tx: EntityManager, made: NewRecovery, at: string): Promise<void> {
    const values = NAMES.map((name) => stored(name, made[name]));
    const places = values.map((_value, index) => `$${index + 1}`).join(', ');
    await tx.query(
      `insert into recovery (${NAMES.map((name) => COLUMNS[name]).join(', ')}, created_at, updated_at)
       values (${places}, $${values.length + 1}, $${values.length + 1})`,
      [...values, at],
    );
  }

  /** Changes a recovery that was read at `before.version`. @throws Refused version-changed when somebody was faster. */
  async update(tx: EntityManager, before: RecoveryRow, change: RecoveryChange, at: string): Promise<RecoveryRow> {
    const names = NAMES.filter((name) => Object.hasOwn(change, name));
    const sets = names.map((name, index) => `${COLUMNS[name]} = $${index + 5}`);
    const values = names.map((name) => stored(name, change[name as keyof RecoveryChange]));
    const run = tx.queryRunner;
    if (run === undefined) throw new Error('a change needs an open transaction');
    const { affected } = await run.query(
      `update recovery set ${[...sets, 'version = version + 1', 'updated_at = $4'].join(', ')}
       where tenant_id = $1 and id = $2 and version = $3`,
      [before.tenantId, before.id, before.version, at, ...values],
      true,
    );
    if (affected !== 1)
      throw new Refused('version-changed', 'Somebody changed this recovery in the meantime. Read it again.');
    return { ...before, ...change, version: before.version + 1, updatedAt: at };
  }

  /** Chains an event to the recovery's history. The recovery's row lock keeps the numbers in order. */
  async append(
    tx: EntityManager,
    to: Pick<RecoveryRow, 'id' | 'tenantId'>,
    happened: RecoveryHappening,
  ): Promise<void> {
    const [last] = await tx.query<{ n: number; hash: string }[]>(
      'select n, hash from recovery_event where tenant_id = $1 and recovery_id = $2 order by n desc limit 1',
      [to.tenantId, to.id],
    );
    const unsealed = { ...happened, n: (last?.n ?? 0) + 1, previousHash: last?.hash ?? GENESIS };
    const { n, kind, at, actor, body, previousHash } = unsealed;
    await tx.query(
      `insert into recovery_event (tenant_id, recovery_id, n, kind, at, actor, body, previous_hash, hash)
       values ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
      [
        to.tenantId,
        to.id,
        n,
        kind,
        at,
        JSON.stringify(actor),
        JSON.stringify(body),
        previousHash,
        contentHash(unsealed),
      ],
    );
  }

  /** The recovery's history, oldest first. */
  async events(tx: EntityManager, tenant: string, id: string): Promise<RecoveryEvent[]> {
    const rows = await tx.query<(Omit<RecoveryEvent, 'at'> & { at: Date })[]>(
      `select n, kind, at, actor, body, previous_hash as "previousHash", hash from recovery_event
       where tenant_id = $1 and recovery_id = $2 order by n`,
      [tenant, id],
    );
    return rows.map((event) => ({ ...event, at: event.at.toISOString() }));
  }

  /** The tenant's own name, which stands on its demands. */
  async claimant(tx: EntityManager, tenant: string): Promise<string> {
    const [found] = await tx.query<{ name: string }[]>('select name from tenant where id = $1', [tenant]);
    return found?.name ?? 'The claimant';
  }
}

/** Most demands on one statement; more is said in words and asks for a narrower one. */
export const MOST_ON_A_STATEMENT = 5_000;

type Minor = 'demandedMinor' | 'bookedMinor' | 'paidMinor' | 'salvageMinor' | 'writtenOffMinor';
type RawRow = Omit<
  RecoveryRow,
  Minor | 'offeredMinor' | 'sentAt' | 'acknowledgedAt' | 'answeredAt' | 'createdAt' | 'updatedAt'
> &
  Readonly<Record<Minor, string>> & {
    readonly offeredMinor: string | null;
    readonly sentAt: Date | null;
    readonly acknowledgedAt: Date | null;
    readonly answeredAt: Date | null;
    readonly createdAt: Date;
    readonly updatedAt: Date;
  };

function row(raw: RawRow): RecoveryRow {
  return {
    ...raw,
    demandedMinor: Number(raw.demandedMinor),
    bookedMinor: Number(raw.bookedMinor),
    offeredMinor: raw.offeredMinor === null ? null : Number(raw.offeredMinor),
    paidMinor: Number(raw.paidMinor),
    salvageMinor: Number(raw.salvageMinor),
    writtenOffMinor: Number(raw.writtenOffMinor),
    sentAt: raw.sentAt?.toISOString() ?? null,
    acknowledgedAt: raw.acknowledgedAt?.toISOString() ?? null,
    answeredAt: raw.answeredAt?.toISOString() ?? null,
    createdAt: raw.createdAt.toISOString(),
    updatedAt: raw.updatedAt.toISOString(),
  };
}

function only(rows: readonly RawRow[]): RecoveryRow {
  const [first] = rows;
  if (first === undefined) throw new Refused('not-found', 'There is no recovery with this id.');
  return row(first);
}

const JSON_COLUMNS: readonly (keyof NewRecovery)[] = ['demand', 'needs', 'particulars'];

function stored(name: keyof NewRecovery, value: unknown): unknown {
  return JSON_COLUMNS.includes(name) ? JSON.stringify(value) : value;
}
