import { randomInt, randomUUID } from 'node:crypto';
import { Injectable } from '@nestjs/common';
import { In, Not, type EntityManager } from 'typeorm';
import { claimNumber } from '../../kernel/claim-number.js';
import { onConstraint } from '../../platform/db/database-errors.js';
import { Refused } from '../../platform/http/problems.js';
import type { ClaimEvent, ClaimEventKind, ClaimLife, Stamp } from '../claims.contract.js';
import { nextEvent } from '../domain/event-chain.js';
import {
  ClaimAssessmentRow,
  ClaimDecisionRow,
  ClaimEventRow,
  ClaimRow,
  InformationRequestRow,
  SettlementRow,
} from './claim.entity.js';

/** A new event before it is chained and stored. */
export interface EventToWrite {
  readonly kind: ClaimEventKind;
  readonly at: string;
  readonly actor: Stamp;
  readonly body: Readonly<Record<string, unknown>>;
}

/** What the next event is chained to. */
export type ChainLink = Pick<ClaimEvent, 'n' | 'hash'>;

/** Written by hand, because every act on every claim comes through here, and one statement takes any number of events. */
const ADD_EVENTS = `insert into claim_event (tenant_id, claim_id, n, kind, at, actor, body, previous_hash, hash)
  select $1, $2, e.n, e.kind, e.at, e.actor, e.body, e."previousHash", e.hash
  from jsonb_to_recordset($3::jsonb)
    as e (n integer, kind text, at timestamptz, actor jsonb, body jsonb, "previousHash" text, hash text)`;

/** How often a random claim number is tried before the service gives up; at a million claims a clash has 1 % odds a time. */
const NUMBER_TRIES = 6;

/** Claims in PostgreSQL. Every call takes the transaction first; row-level security is the second wall behind the tenant condition. */
@Injectable()
export class ClaimStore {
  /** @throws Refused not-found when the claim is missing or not visible; the two look alike. */
  async find(tx: EntityManager, tenant: string, id: string): Promise<ClaimRow> {
    const row = await tx.findOneBy(ClaimRow, { tenantId: tenant, id });
    if (!row) throw new Refused('not-found', 'There is no claim with this id.');
    return row;
  }

  async findByNumber(tx: EntityManager, tenant: string, number: string): Promise<ClaimRow> {
    const row = await tx.findOneBy(ClaimRow, { tenantId: tenant, number });
    if (!row) throw new Refused('not-found', 'There is no claim with this number.');
    return row;
  }

  /** Reads the claim and holds it until the transaction ends, so that two people at once act one after the other. */
  async lock(tx: EntityManager, tenant: string, id: string): Promise<ClaimRow> {
    const row = await this.lockIfSeen(tx, tenant, id);
    if (!row) throw new Refused('not-found', 'There is no claim with this id.');
    return row;
  }

  /** The same, with null for a claim that is missing or not visible. */
  async lockIfSeen(tx: EntityManager, tenant: string, id: string): Promise<ClaimRow | null> {
    return tx.findOne(ClaimRow, { where: { tenantId: tenant, id }, lock: { mode: 'pessimistic_write' } });
  }

  /** The claim's life as the domain sees it, with the decision that waits and the one that stands. */
  async life(tx: EntityManager, row: ClaimRow): Promise<ClaimLife> {
    const decisions = await tx.find(ClaimDecisionRow, {
      select: { n: true, state: true, decidedBy: true, outcome: true, totalMinor: true },
      where: { tenantId: row.tenantId, claimId: row.id },
      order: { n: 'ASC' },
    });
    return lifeOf(row, decisions);
  }

  /**
   * Adds a claim, unless its id is taken or its unit has an open claim. Somebody who adds the same at the same moment is waited for,
   * so that the answer is about what stands.
   * @returns whether it was added
   */
  async insert(tx: EntityManager, row: ClaimRow): Promise<boolean> {
    const statement = tx.createQueryBuilder().insert().into(ClaimRow).values(row).orIgnore().returning('id');
    const { raw } = await statement.updateEntity(false).execute();
    return (raw as unknown[]).length === 1;
  }

  /** Whether a unit has a claim that is neither closed nor withdrawn. */
  async openOnUnit(tx: EntityManager, tenant: string, unitId: string): Promise<boolean> {
    return tx.existsBy(ClaimRow, { tenantId: tenant, unitId, state: Not(In(['closed', 'withdrawn'])) });
  }

  /** The claim of a unit that is neither closed nor withdrawn, locked; null where there is none. @param serial as on the label */
  async lockOpenOn(tx: EntityManager, tenant: string, visitId: string, serial: string): Promise<ClaimRow | null> {
    const [found] = await tx.query<{ id: string }[]>(
      `select claim.id from claim join visit_unit unit on unit.id = claim.unit_id
       where claim.tenant_id = $1 and claim.visit_id = $2 and upper(unit.serial) = upper($3)
         and claim.state not in ('closed', 'withdrawn')`,
      [tenant, visitId, serial.trim()],
    );
    return found === undefined ? null : this.lockIfSeen(tx, tenant, found.id);
  }

  /**
   * Changes a claim that was read at `row.version`, and the row in hand with it.
   * @throws Refused version-changed when somebody was faster, duplicate-claim when it would be the second open one on its unit
   */
  async update(tx: EntityManager, row: ClaimRow, change: Partial<ClaimRow>, at: string): Promise<ClaimRow> {
    const next = { ...change, version: row.version + 1, updatedAt: at };
    const where = { tenantId: row.tenantId, id: row.id, version: row.version };
    const { affected } = await onConstraint(tx.update(ClaimRow, where, next), {
      claim_one_open_per_unit_idx: takenUnit,
    });
    if (affected !== 1)
      throw new Refused('version-changed', 'Somebody changed this claim in the meantime. Read it again.');
    return Object.assign(row, next);
  }

  /** A number that no claim of the tenant has yet. Random, so that it tells nobody how many claims there are. */
  async freeNumber(tx: EntityManager, tenant: string): Promise<string> {
    for (let tries = 0; tries < NUMBER_TRIES; tries += 1) {
      const number = claimNumber(randomInt(100_000_000));
      const taken = await tx.query<unknown[]>('select 1 from claim where tenant_id = $1 and number = $2', [
        tenant,
        number,
      ]);
      if (taken.length === 0) return number;
    }
    throw new Error('no free claim number was found');
  }

  /**
   * Chains events to the claim's history. The claim's row lock keeps the numbers in order.
   * @param after the newest event so far where the caller has it in hand, null for a claim without any; absent: it is read
   * @returns the newest event now
   */
  async append(
    tx: EntityManager,
    row: Pick<ClaimRow, 'id' | 'tenantId'>,
    events: readonly EventToWrite[],
    after?: ChainLink | null,
  ): Promise<ChainLink | null> {
    let previous: ChainLink | null = after === undefined ? await this.newestEvent(tx, row) : after;
    const chained: ClaimEvent[] = [];
    for (const event of events) {
      const next = nextEvent(previous, { ...event, claim: row.id });
      chained.push(next);
      previous = next;
    }
    await tx.query(ADD_EVENTS, [row.tenantId, row.id, JSON.stringify(chained)]);
    return previous;
  }

  private newestEvent(tx: EntityManager, row: Pick<ClaimRow, 'id' | 'tenantId'>): Promise<ChainLink | null> {
    return tx.findOne(ClaimEventRow, {
      select: { n: true, hash: true },
      where: { tenantId: row.tenantId, claimId: row.id },
      order: { n: 'DESC' },
    });
  }

  async events(tx: EntityManager, tenant: string, claimId: string): Promise<ClaimEvent[]> {
    const rows = await tx.find(ClaimEventRow, { where: { tenantId: tenant, claimId }, order: { n: 'ASC' } });
    return rows.map(({ tenantId: _tenant, claimId: claim, ...event }) => ({ ...event, claim }) as ClaimEvent);
  }

  async addAssessment(tx: EntityManager, row: Omit<ClaimAssessmentRow, 'id'>): Promise<string> {
    const id = randomUUID();
    await tx.insert(ClaimAssessmentRow, { ...row, id });
    return id;
  }

  async assessment(tx: EntityManager, tenant: string, id: string): Promise<ClaimAssessmentRow | null> {
    return tx.findOneBy(ClaimAssessmentRow, { tenantId: tenant, id });
  }

  async decisions(tx: EntityManager, tenant: string, claimId: string): Promise<ClaimDecisionRow[]> {
    return tx.find(ClaimDecisionRow, { where: { tenantId: tenant, claimId }, order: { n: 'ASC' } });
  }

  async addDecision(tx: EntityManager, row: Omit<ClaimDecisionRow, 'id'>): Promise<string> {
    const id = randomUUID();
    await tx.insert(ClaimDecisionRow, { ...row, id });
    return id;
  }

  async changeDecision(tx: EntityManager, row: ClaimDecisionRow, change: Partial<ClaimDecisionRow>): Promise<void> {
    const where = { tenantId: row.tenantId, id: row.id, state: row.state };
    const { affected } = await tx.update(ClaimDecisionRow, where, change);
    if (affected !== 1)
      throw new Refused('version-changed', 'Somebody acted on this decision in the meantime. Read it again.');
  }

  async questions(tx: EntityManager, tenant: string, claimId: string): Promise<InformationRequestRow[]> {
    return tx.find(InformationRequestRow, { where: { tenantId: tenant, claimId }, order: { askedAt: 'ASC' } });
  }

  async ask(tx: EntityManager, row: Omit<InformationRequestRow, 'id'>): Promise<string> {
    const id = randomUUID();
    await tx.insert(InformationRequestRow, { ...row, id });
    return id;
  }

  async answer(
    tx: EntityManager,
    row: InformationRequestRow,
    answer: { text: string; by: string; at: string },
  ): Promise<void> {
    const change = { answer: answer.text, answeredBy: answer.by, answeredAt: answer.at };
    await tx.update(InformationRequestRow, { tenantId: row.tenantId, id: row.id }, change);
  }

  async settle(tx: EntityManager, row: Omit<SettlementRow, 'id'>): Promise<void> {
    await tx.insert(SettlementRow, { ...row, id: randomUUID() });
  }

  async settlements(tx: EntityManager, tenant: string, claimId: string): Promise<SettlementRow[]> {
    return tx.find(SettlementRow, { where: { tenantId: tenant, claimId }, order: { settledAt: 'ASC' } });
  }
}

/** A unit has one open claim at a time; what is found later belongs to that one. */
export function takenUnit(): Refused {
  return new Refused(
    'duplicate-claim',
    'This unit has an open claim already. Add what you found to that claim instead.',
  );
}

/** A claim's life from its row and its decisions; none of these for a claim that was just added. */
export function lifeOf(
  row: ClaimRow,
  decisions: readonly Pick<ClaimDecisionRow, 'n' | 'state' | 'decidedBy' | 'outcome' | 'totalMinor'>[],
): ClaimLife {
  const awaiting = decisions.find(({ state }) => state === 'awaiting second person');
  const standing = decisions.find(({ state }) => state === 'standing');
  return {
    id: row.id,
    state: row.state,
    version: row.version,
    filedBy: row.filedBy,
    awaiting: awaiting ? { n: awaiting.n, decidedBy: awaiting.decidedBy } : null,
    standing: standing ? { n: standing.n, outcome: standing.outcome, totalMinor: standing.totalMinor } : null,
  };
}
