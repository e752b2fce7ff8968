import type { Client } from 'pg';
import type { RehearsalWish } from '../../policies/rehearsals.contract.js';
import { inPlace, NEWEST } from '../../policies/records.contract.js';
import type { RehearsalOrder } from './rehearsal-worker.js';

/** Records from one to another, both included, in the order of time and id. */
export interface Stretch {
  readonly n: number;
  readonly fromAt: string;
  readonly fromId: string;
  readonly toAt: string;
  readonly toId: string;
}

/** What a rehearsal goes through. */
export interface RehearsedPlace {
  readonly code: string;
  readonly jurisdiction: string;
  readonly wish: RehearsalWish;
}

/** A record as it is read for a rehearsal. */
export interface StretchRecord {
  readonly id: string;
  readonly claimId: string;
  readonly versionId: string;
  readonly facts: string;
  readonly outcome: string;
}

/** Claims in one transaction: enough to make reading cheap, few enough to keep memory flat and a cancellation quick. */
const CLAIMS_A_STRETCH = 500;

/**
 * Which records count: the newest of each claim that the version would govern, in the period, and by chance one in so many. Chance is the
 * record's own id, so that it is always the same ones. $1 tenant, $2 place, $3 and $4 period, $5 one in so many.
 */
const COUNTED = `r.tenant_id = $1 and ${inPlace('$2')} and ${NEWEST}
  and ($3::timestamptz is null or r.made_at >= $3::timestamptz) and ($4::timestamptz is null or r.made_at < $4::timestamptz)
  and ($5::int = 1 or (hashtextextended(r.id::text, 0) & 2147483647) % $5::int = 0)`;

/** Cuts the records of a rehearsal into stretches and sets it running. @returns the wish with how many records count */
export async function planStretches(client: Client, order: RehearsalOrder, of: RehearsedPlace): Promise<RehearsalWish> {
  const { tenant, rehearsal } = order;
  const { from = null, to = null, sample } = of.wish;
  const place = [tenant, of.jurisdiction, from, to];
  let oneIn = 1;
  if (sample !== undefined) {
    const { rows } = await client.query<{ all: number }>(
      `select count(*)::int "all" from decision_record r where ${COUNTED}`,
      [...place, 1],
    );
    oneIn = Math.max(1, Math.floor((rows[0]?.all ?? 0) / sample));
  }
  await client.query(
    `insert into rehearsal_batch (tenant_id, rehearsal_id, n, from_at, from_id, to_at, to_id, claims)
     select $1, $6, stretch, (array_agg(made_at order by made_at, id))[1], (array_agg(id order by made_at, id))[1],
       (array_agg(made_at order by made_at desc, id desc))[1], (array_agg(id order by made_at desc, id desc))[1], count(*)
     from (select r.made_at, r.id, (row_number() over (order by r.made_at, r.id) - 1) / $7::int + 1 stretch
       from decision_record r where ${COUNTED}) counted
     group by stretch`,
    [...place, oneIn, rehearsal, CLAIMS_A_STRETCH],
  );
  const comparedWith = of.wish.against ?? (await versionInForce(client, tenant, of.code));
  const wish = { ...of.wish, oneIn, ...(comparedWith === undefined ? {} : { comparedWith }) };
  await client.query(
    `update rehearsal set state = 'running', planned_at = now(), wish = $3::jsonb,
       claims = (select coalesce(sum(claims), 0) from rehearsal_batch where rehearsal_id = $2)
     where tenant_id = $1 and id = $2`,
    [tenant, rehearsal, JSON.stringify(wish)],
  );
  return wish;
}

/** The version that is on the calendar today, by the day of the database. */
async function versionInForce(client: Client, tenant: string, code: string): Promise<number | undefined> {
  const { rows } = await client.query<{ version: number }>(
    `select version from policy_period
     where tenant_id = $1 and code = $2 and superseded_at is null and effective @> current_date`,
    [tenant, code],
  );
  return rows[0]?.version;
}

/** The records of a stretch. */
export async function recordsOfStretch(
  client: Client,
  order: RehearsalOrder,
  of: RehearsedPlace,
  stretch: Stretch,
): Promise<StretchRecord[]> {
  const { from = null, to = null } = of.wish;
  const { rows } = await client.query<StretchRecord>({
    name: 'rehearsal stretch',
    text: `select r.id, r.claim_id "claimId", r.policy_version_id "versionId", r.facts, r.outcome
      from decision_record r where ${COUNTED}
        and (r.made_at, r.id) >= ($6::timestamptz, $7::uuid) and (r.made_at, r.id) <= ($8::timestamptz, $9::uuid)`,
    values: [
      order.tenant,
      of.jurisdiction,
      from,
      to,
      of.wish.oneIn ?? 1,
      stretch.fromAt,
      stretch.fromId,
      stretch.toAt,
      stretch.toId,
    ],
  });
  return rows;
}
