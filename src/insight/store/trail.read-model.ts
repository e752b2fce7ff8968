import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { ClaimEvent } from '../../claims/claims.contract.js';
import type { RecoveryEvent } from '../../recovery/recovery.contract.js';
import type { CursorKey } from '../../platform/http/pages.js';
import type { TrailEntry, TrailFilter, TrailSource } from '../trail.contract.js';

/** A recovery with its history. */
export interface RecoveryChain {
  readonly id: string;
  readonly claim: string;
  /** Whom something is demanded of. */
  readonly party: string;
  readonly events: readonly RecoveryEvent[];
}

/** An entry with the instant as exactly as it is stored, which the next page begins after. */
export interface PlacedEntry extends TrailEntry {
  readonly place: string;
}

/** What each kind of history looks like from here; all of them are append-only and are kept by other modules. */
const HISTORIES: Readonly<Record<TrailSource, string>> = {
  claims: `select 'claims' source, event.claim_id about, event.n, event.kind, event.at, event.actor, event.body,
      claim.number::text label, event.claim_id claim, claim.number::text number, event.hash
    from claim_event event join claim on claim.tenant_id = event.tenant_id and claim.id = event.claim_id
    where event.tenant_id = $1`,
  recoveries: `select 'recoveries' source, event.recovery_id about, event.n, event.kind, event.at, event.actor, event.body,
      recovery.party_name label, recovery.claim_id claim, claim.number::text number, event.hash
    from recovery_event event join recovery on recovery.tenant_id = event.tenant_id and recovery.id = event.recovery_id
      join claim on claim.tenant_id = recovery.tenant_id and claim.id = recovery.claim_id
    where event.tenant_id = $1`,
  policies: `select 'policies' source, event.policy_version_id about, event.n, 'policy-' || event.kind kind, event.at,
      jsonb_build_object('kind', 'person', 'id', event.by, 'name', coalesce(person.name, 'somebody')) actor,
      event.body || case when event.words is null then '{}'::jsonb else jsonb_build_object('words', event.words) end body,
      version.code || ' ' || version.version label, null::uuid claim, null::text number, null::text hash
    from policy_step event
      join policy_version version on version.tenant_id = event.tenant_id and version.id = event.policy_version_id
      left join person on person.tenant_id = event.tenant_id and person.id = event.by
    where event.tenant_id = $1`,
  'people and keys': `select 'people and keys' source, event.id about, 1 n, event.kind, event.at, event.actor, event.body,
      event.body ->> 'name' label, null::uuid claim, null::text number, null::text hash
    from access_event event where event.tenant_id = $1`,
};

/** Everything that anybody did, the newest first. */
@Injectable()
export class TrailReadModel {
  /** Up to `limit` entries after the cursor (instant, uuid, number). */
  async page(
    tx: EntityManager,
    tenant: string,
    filter: TrailFilter,
    { after, limit }: { readonly after: CursorKey | undefined; readonly limit: number },
  ): Promise<PlacedEntry[]> {
    const values: unknown[] = [tenant];
    const value = (given: unknown): string => `$${values.push(given)}`;
    const conditions = conditionsOf(filter, value);
    if (after !== undefined) {
      const [at, about, n] = after.map(value);
      conditions.push(`(at, about, n) < (${at}::timestamptz, ${about}::uuid, ${n}::integer)`);
    }
    const where = conditions.length === 0 ? '' : `where ${conditions.join(' and ')}`;
    const most = value(limit);
    // Each history gives no more than a page, so that a long one is not read as a whole for the sake of a short one.
    const parts = filter.sources.map(
      (source) =>
        `(select * from (${HISTORIES[source]}) history ${where} order by at desc, about desc, n desc limit ${most})`,
    );
    if (parts.length === 0) return [];
    const rows = await tx.query<(Omit<PlacedEntry, 'at'> & { at: Date })[]>(
      `select source, about, n, kind, at, actor, body, label, claim, trim(hash) hash,
         to_char(at at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"') place
       from (${parts.join(' union all ')}) everything order by at desc, about desc, n desc limit ${most}`,
      values,
    );
    return rows.map((row) => ({ ...row, at: row.at.toISOString() }));
  }

  /** The events of the next claims by id, each with its number; claims without any are there as well. */
  async chains(
    tx: EntityManager,
    tenant: string,
    after: string,
    limit: number,
  ): Promise<{ readonly id: string; readonly number: string | null; readonly events: readonly ClaimEvent[] }[]> {
    const claims = await tx.query<{ id: string; number: string | null }[]>(
      'select id, number from claim where tenant_id = $1 and id > $2 order by id limit $3',
      [tenant, after, limit],
    );
    const rows = await tx.query<(Omit<ClaimEvent, 'at'> & { at: Date })[]>(
      `select claim_id claim, n, kind, at, actor, body, previous_hash "previousHash", hash from claim_event
       where tenant_id = $1 and claim_id = any ($2::uuid[]) order by claim_id, n`,
      [tenant, claims.map(({ id }) => id)],
    );
    const byClaim = Map.groupBy(
      rows.map((row): ClaimEvent => ({ ...row, at: row.at.toISOString() })),
      ({ claim }) => claim,
    );
    return claims.map((claim) => ({ ...claim, events: byClaim.get(claim.id) ?? [] }));
  }

  /** The histories of the recoveries of claims, each by the claim and whom something is demanded of. */
  async recoveryChains(tx: EntityManager, tenant: string, claims: readonly string[]): Promise<RecoveryChain[]> {
    const found = await tx.query<Omit<RecoveryChain, 'events'>[]>(
      `select id, claim_id claim, party_name party from recovery
       where tenant_id = $1 and claim_id = any ($2::uuid[]) order by claim_id, id`,
      [tenant, claims],
    );
    const rows = await tx.query<(Omit<RecoveryEvent, 'at'> & { recovery: string; at: Date })[]>(
      `select recovery_id recovery, n, kind, at, actor, body, previous_hash "previousHash", hash from recovery_event
       where tenant_id = $1 and recovery_id = any ($2::uuid[]) order by recovery_id, n`,
      [tenant, found.map(({ id }) => id)],
    );
    const byRecovery = Map.groupBy(rows, ({ recovery }) => recovery);
    return found.map((each) => ({
      ...each,
      events: (byRecovery.get(each.id) ?? []).map(({ recovery: _recovery, at, ...event }) => ({
        ...event,
        at: at.toISOString(),
      })),
    }));
  }
}

function conditionsOf(filter: TrailFilter, value: (given: unknown) => string): string[] {
  const { who, kind, claim, from, to } = filter;
  return [
    ...(who === undefined ? [] : [`actor ->> 'name' ilike ${value(`%${who.replace(/[\\%_]/g, '\\$&')}%`)}`]),
    ...(kind === undefined ? [] : [`kind = ${value(kind)}`]),
    ...(claim === undefined ? [] : [`${value(claim)} in (claim::text, number)`]),
    ...(from === undefined ? [] : [`at >= ${value(from)}::timestamptz`]),
    ...(to === undefined ? [] : [`at < ${value(to)}::timestamptz`]),
  ];
}
