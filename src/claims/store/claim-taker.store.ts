import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';

/** Somebody of the desk. */
export interface TakerName {
  /** uuid */
  readonly id: string;
  readonly name: string;
}

/** Who has a claim, and since when (RFC 3339). */
export interface Taker extends TakerName {
  readonly takenAt: string;
}

/**
 * Joins who has the claim `c` as `p`, the taking as `k`. A claim of somebody who was shut out is nobody's; let in again, they have it
 * as before.
 */
export const TAKER_JOIN = `left join claim_taker k on k.tenant_id = c.tenant_id and k.claim_id = c.id
  left join person p on p.tenant_id = k.tenant_id and p.id = k.person_id and p.disabled_at is null`;

/** Who of the desk has which claim. */
@Injectable()
export class ClaimTakerStore {
  /** Who has a claim; null for nobody's. */
  async of(tx: EntityManager, tenant: string, claimId: string): Promise<Taker | null> {
    const [found] = await tx.query<(TakerName & { takenAt: Date })[]>(
      `select p.id, p.name, k.taken_at as "takenAt" from claim c ${TAKER_JOIN}
       where c.tenant_id = $1 and c.id = $2 and p.id is not null`,
      [tenant, claimId],
    );
    return found === undefined ? null : { ...found, takenAt: found.takenAt.toISOString() };
  }

  /** Writes down who has a claim from now on, in place of whoever had it. @param at RFC 3339 */
  async put(tx: EntityManager, of: { tenant: string; claim: string; person: string }, at: string): Promise<void> {
    await tx.query(
      `insert into claim_taker (claim_id, tenant_id, person_id, taken_at) values ($1, $2, $3, $4)
       on conflict (claim_id) do update set person_id = excluded.person_id, taken_at = excluded.taken_at`,
      [of.claim, of.tenant, of.person, at],
    );
  }

  async remove(tx: EntityManager, tenant: string, claimId: string): Promise<void> {
    await tx.query('delete from claim_taker where tenant_id = $1 and claim_id = $2', [tenant, claimId]);
  }

  /** How many claims a person has that are neither closed nor withdrawn. */
  async count(tx: EntityManager, tenant: string, person: string): Promise<number> {
    const [row] = await tx.query<{ count: string }[]>(
      `select count(*) as count from claim c ${TAKER_JOIN}
       where c.tenant_id = $1 and p.id = $2 and c.state not in ('closed', 'withdrawn')`,
      [tenant, person],
    );
    return Number(row?.count ?? 0);
  }
}
