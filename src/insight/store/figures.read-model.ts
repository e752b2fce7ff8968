import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Component, Ground, Party } from '../../kernel/vocabulary.js';
import { MOVED_DECIBANS, OPEN_STATES, type OpenState, type PartyMoney, type Span } from '../insight.contract.js';

/** Whose figures, and of when. Instants RFC 3339; `until` is the first one that does not count any more. */
export interface FiguresFilter {
  readonly tenant: string;
  readonly from: string;
  readonly until: string;
  readonly retailer: string | null;
  readonly maker: string | null;
}

/** Acts by which a person at the desk shows that they have looked at a case. */
const LOOKS = ['information-asked', 'decision-made', 'claim-decided'] as const;

/** Filed claims of the retailer and the maker that are asked for: $1 tenant, $4 retailer, $5 maker. */
const PICKED = `picked as (
  select c.id, c.filed_at, c.decided_at, c.state, c.ground, c.assessment_id, c.decision_id, m.maker
  from claim c
  join visit_unit u on u.tenant_id = c.tenant_id and u.id = c.unit_id
  join model m on m.tenant_id = c.tenant_id and m.id = u.model_id
  where c.tenant_id = $1 and c.filed_at is not null
    and ($4::uuid is null or c.retailer_id = $4) and ($5::text is null or m.maker = $5))`;

/** When each of them was first looked at and first decided. */
const MOMENTS = `moments as (
  select p.id, p.filed_at, p.state,
    min(e.at) filter (where e.actor ->> 'kind' = 'person' and e.kind = any ($6::text[])) as looked_at,
    min(e.at) filter (where e.kind = 'claim-decided') as decided_at
  from picked p left join claim_event e on e.claim_id = p.id
  group by p.id, p.filed_at, p.state)`;

const within = (moment: string): string => `${moment} >= $2::timestamptz and ${moment} < $3::timestamptz`;
const hours = (to: string): string => `(extract(epoch from ${to} - filed_at) / 3600)::float8`;
const span = (to: string): string => `count(*)::int as count,
  percentile_cont(0.5) within group (order by ${hours(to)}) as "medianHours",
  percentile_cont(0.9) within group (order by ${hours(to)}) as "ninetiethHours"`;

/** What was the matter: the explanation that the decision names, or else the leading one. */
const COMPONENT = `coalesce(
  (select e ->> 'component' from jsonb_array_elements(f -> 'explanations') e
    where e ->> 'id' = d.body -> 'explanations' ->> (f ->> 'subject') limit 1),
  f #>> '{leading,component}')`;

/** Figures worked out by the database, from the same rows that lists and cases show. */
@Injectable()
export class FiguresReadModel {
  decided(tx: EntityManager, filter: FiguresFilter): Promise<{ outcome: string; ground: Ground; count: number }[]> {
    return tx.query(
      `with ${PICKED}
      select d.outcome, p.ground, count(*)::int as count
      from picked p join claim_decision d on d.tenant_id = $1 and d.id = p.decision_id
      where d.state = 'standing' and ${within('p.decided_at')}
      group by d.outcome, p.ground order by d.outcome, p.ground`,
      bound(filter),
    );
  }

  /** Open cases by their age in whole days. @param now RFC 3339 */
  open(
    tx: EntityManager,
    filter: FiguresFilter,
    now: string,
  ): Promise<{ state: OpenState; days: number; count: number }[]> {
    return tx.query(
      `with ${PICKED}
      select p.state, floor(extract(epoch from $2::timestamptz - p.filed_at) / 86400)::int as days, count(*)::int as count
      from picked p where p.state = any ($3::text[])
      group by p.state, days order by days, p.state`,
      [filter.tenant, now, OPEN_STATES, filter.retailer, filter.maker],
    );
  }

  async firstLook(tx: EntityManager, filter: FiguresFilter): Promise<Span & { readonly waiting: number }> {
    return this.span(
      tx,
      filter,
      `select ${span('looked_at')} from moments where looked_at is not null and ${within('filed_at')}`,
      `select count(*)::int as waiting from moments where looked_at is null and state <> 'withdrawn' and ${within('filed_at')}`,
    );
  }

  async decision(tx: EntityManager, filter: FiguresFilter): Promise<Span & { readonly waiting: number }> {
    return this.span(
      tx,
      filter,
      `select ${span('decided_at')} from moments where ${within('decided_at')}`,
      `select count(*)::int as waiting from moments where decided_at is null and state <> 'withdrawn' and ${within('filed_at')}`,
    );
  }

  decisionByMonth(tx: EntityManager, filter: FiguresFilter): Promise<(Span & { readonly month: string })[]> {
    return tx.query(
      `with ${PICKED}, ${MOMENTS}
      select to_char(decided_at at time zone 'UTC', 'YYYY-MM') as month, ${span('decided_at')}
      from moments where ${within('decided_at')} group by month order by month`,
      [...bound(filter), LOOKS],
    );
  }

  classes(
    tx: EntityManager,
    filter: FiguresFilter,
  ): Promise<{ maker: string; month: string; component: Component; count: number }[]> {
    return tx.query(
      `with ${PICKED}
      select p.maker, to_char(p.filed_at at time zone 'UTC', 'YYYY-MM') as month, ${COMPONENT} as component, count(*)::int as count
      from picked p
      join claim_assessment a on a.tenant_id = $1 and a.id = p.assessment_id
      left join claim_decision d on d.tenant_id = $1 and d.id = p.decision_id
      cross join lateral jsonb_array_elements(a.assessment -> 'findings') f
      where ${within('p.filed_at')}
      group by p.maker, month, component order by p.maker, month, component`,
      bound(filter),
    );
  }

  /** Decisions that stood, now or until a later one, by the rules of the assessment that they were measured against. */
  overrides(
    tx: EntityManager,
    filter: FiguresFilter,
  ): Promise<{ policy: string; rule: string; overridden: number; decisions: number }[]> {
    return tx.query(
      `with ${PICKED}
      select a.assessment #>> '{documents,policy,id}' as policy, r.rule, count(distinct d.id)::int as decisions,
        count(distinct d.id) filter (where (d.body ->> 'overrides')::boolean)::int as overridden
      from picked p
      join claim_decision d on d.tenant_id = $1 and d.claim_id = p.id and d.state in ('standing', 'superseded')
      join claim_assessment a on a.tenant_id = $1 and a.id = d.assessment_id
      cross join lateral jsonb_array_elements_text(a.assessment -> 'rules') r(rule)
      where ${within('d.decided_at')}
      group by policy, r.rule`,
      bound(filter),
    );
  }

  async money(tx: EntityManager, filter: FiguresFilter): Promise<PartyMoney[]> {
    const rows = await tx.query<RawMoney[]>(
      `with ${PICKED}
      select r.party, r.currency, count(*)::int as demands,
        coalesce(sum(r.demanded_minor) filter (where r.state = 'open'), 0) as "notSentMinor",
        sum(r.booked_minor) as "sentMinor", sum(r.paid_minor + r.salvage_minor) as "recoveredMinor",
        sum(r.written_off_minor) as "writtenOffMinor",
        sum(r.booked_minor - r.paid_minor - r.salvage_minor - r.written_off_minor) as "owedMinor"
      from picked p join recovery r on r.tenant_id = $1 and r.claim_id = p.id
      where r.state <> 'withdrawn' and ${within('r.created_at')}
      group by r.party, r.currency order by r.currency, r.party`,
      bound(filter),
    );
    return rows.map(({ party, currency, demands, ...sums }) => ({
      party,
      currency,
      demands,
      notSentMinor: Number(sums.notSentMinor),
      sentMinor: Number(sums.sentMinor),
      recoveredMinor: Number(sums.recoveredMinor),
      writtenOffMinor: Number(sums.writtenOffMinor),
      owedMinor: Number(sums.owedMinor),
    }));
  }

  /** What was seen, claim by claim at its strongest, and how often nobody looked. */
  checks(tx: EntityManager, filter: FiguresFilter): Promise<RawCheck[]> {
    return tx.query(
      `with ${PICKED}, judged as (
        select p.id, a.assessment, a.assessment #>> '{documents,evidenceModel,id}' as model
        from picked p join claim_assessment a on a.tenant_id = $1 and a.id = p.assessment_id
        where ${within('p.filed_at')}),
      seen as (
        select j.id, j.model, w ->> 'observation' as observation, max(w ->> 'says') as says,
          bool_or(w ->> 'sighting' = 'present') as present,
          coalesce(max(abs((w ->> 'decibans')::float8)) filter (where (w ->> 'counted')::boolean), 0) as weight
        from judged j cross join lateral jsonb_path_query(j.assessment, '$.findings[*].evidence[*]') w
        group by j.id, j.model, observation),
      unseen as (
        select j.model, o #>> '{}' as observation, count(distinct j.id)::int as "notChecked"
        from judged j cross join lateral jsonb_path_query(j.assessment, '$.findings[*].notChecked[*]') o
        group by j.model, observation)
      select s.model, s.observation, max(s.says) as says, count(*)::int as seen,
        count(*) filter (where s.present)::int as present, count(*) filter (where s.weight >= $6::float8)::int as moved,
        avg(s.weight) as "meanDecibans", coalesce(max(n."notChecked"), 0) as "notChecked"
      from seen s left join unseen n on n.model = s.model and n.observation = s.observation
      group by s.model, s.observation`,
      [...bound(filter), MOVED_DECIBANS],
    );
  }

  async choices(
    tx: EntityManager,
    tenant: string,
  ): Promise<{ makers: string[]; retailers: { id: string; name: string }[] }> {
    const makers = await tx.query<{ maker: string }[]>(
      'select distinct maker from model where tenant_id = $1 order by maker',
      [tenant],
    );
    const retailers = await tx.query<{ id: string; name: string }[]>(
      'select id, name from retailer where tenant_id = $1 order by name, id',
      [tenant],
    );
    return { makers: makers.map(({ maker }) => maker), retailers };
  }

  private async span(
    tx: EntityManager,
    filter: FiguresFilter,
    taken: string,
    waiting: string,
  ): Promise<Span & { readonly waiting: number }> {
    const values = [...bound(filter), LOOKS];
    const head = `with ${PICKED}, ${MOMENTS} `;
    const [span] = await tx.query<Span[]>(head + taken, values);
    const [open] = await tx.query<{ waiting: number }[]>(head + waiting, values);
    return {
      count: span?.count ?? 0,
      medianHours: span?.medianHours ?? null,
      ninetiethHours: span?.ninetiethHours ?? null,
      waiting: open?.waiting ?? 0,
    };
  }
}

interface RawMoney {
  readonly party: Party;
  readonly currency: string;
  readonly demands: number;
  readonly notSentMinor: string;
  readonly sentMinor: string;
  readonly recoveredMinor: string;
  readonly writtenOffMinor: string;
  readonly owedMinor: string;
}

interface RawCheck {
  readonly model: string;
  readonly observation: string;
  readonly says: string;
  readonly seen: number;
  readonly present: number;
  readonly moved: number;
  readonly meanDecibans: number;
  readonly notChecked: number;
}

function bound({ tenant, from, until, retailer, maker }: FiguresFilter): unknown[] {
  return [tenant, from, until, retailer, maker];
}
