import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { actorRef, type Actor } from '../access/access.contract.js';
import { demand } from '../access/access.service.js';
import { sha256Hex } from '../kernel/canonical-json.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { Refused } from '../platform/http/problems.js';
import { factText, missingNumbers } from './domain/phone-facts.js';
import { InspectionsService } from './inspections.service.js';
import { PhoneFactHands } from './phone-fact-hands.js';
import type { PhoneFact, PhoneFactReceipt } from './phone-facts.contract.js';
import type { PhoneFactRow, PhoneRow } from './store/phone.entity.js';
import type { OwingPhone } from './phones.contract.js';
import { PhoneReadModel } from './store/phone.read-model.js';
import { PhoneStore, type FactStanding } from './store/phone.store.js';

/** What a phone brings in one request. */
export interface PhoneBatch {
  /** uuid of the phone */
  readonly phone: string;
  /** RFC 3339 instant by the phone's clock, at sending */
  readonly sentAt: string;
  /** The highest number that the phone has given out at this visit. */
  readonly countedTo: number;
  readonly facts: readonly PhoneFact[];
}

/** What the phone is told. */
export interface PhoneBatchReceipt {
  readonly receipts: readonly PhoneFactReceipt[];
  /** Numbers that the phone has given out and that never came; at most 100. */
  readonly missing: readonly number[];
}

/** A phone with what is gone with it. */
export type LostPhone = OwingPhone & { readonly lost: NonNullable<OwingPhone['lost']> };

const MOST_MISSING = 100;
/** A clock can be off by more than the column holds; ten years say enough. */
const MOST_AHEAD_MS = 10 * 365 * 24 * 60 * 60 * 1000;

/** Takes in what phones say: kept first, then done, each fact once, in the order in which the phone counted. */
@Injectable()
export class PhoneFactsService {
  constructor(
    private readonly db: Database,
    private readonly clock: Clock,
    private readonly inspections: InspectionsService,
    private readonly phones: PhoneStore,
    private readonly reading: PhoneReadModel,
    private readonly hands: PhoneFactHands,
  ) {}

  /**
   * Keeps facts and does what they say. The same facts again change nothing and get the same receipts. Beginnings and safety stops count
   * at once; anything else waits until everything that the phone counted before it is here, and no inspection ends while a safety stop
   * stands.
   * @throws Refused `not-found`, `not-allowed`
   */
  async receive(actor: Actor, visitId: string, batch: PhoneBatch): Promise<PhoneBatchReceipt> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      await this.inspections.visit(tx, actor.tenant, visitId);
      demand(actor, 'inspection.fill', { tenant: actor.tenant, visit: visitId });
      await this.phones.queue(tx, visitId);
      const phone = await this.hear(tx, actor, visitId, batch);
      const fresh: PhoneFactRow[] = [];
      for (const fact of batch.facts) {
        const row = this.rowFor(actor, phone, fact);
        if (await this.phones.add(tx, row)) fresh.push(row);
      }
      for (const fact of fresh.toSorted((a, b) => a.n - b.n))
        if (fact.kind === 'begin' || fact.kind === 'stop')
          await this.takeOne(tx, actor, fact, { aheadSeconds: phone.clockAheadSeconds, early: true });
      // What one phone says may be what another has waited for.
      let moved = true;
      while (moved) {
        moved = false;
        for (const each of await this.phones.ofVisit(tx, actor.tenant, visitId))
          if (await this.goOn(tx, actor, each)) moved = true;
      }
      const standing = await this.phones.standing(
        tx,
        actor.tenant,
        batch.facts.map(({ id }) => id),
      );
      const numbers = await this.phones.numbers(tx, phone, 0);
      return {
        receipts: standing.map(receiptOf),
        missing: missingNumbers(phone.countedTo, numbers, MOST_MISSING),
      };
    });
  }

  /**
   * A phone that will not be heard again: nothing waits for it any more. What it sent before is done as far as it can be, also behind
   * the numbers that never came. Should it be heard after all, it is not lost, and what it brings is taken as always.
   * @param loss.heardAt when the phone had been heard last as far as the person knew, RFC 3339
   * @returns what is gone with it. @throws Refused `not-found`, `version-changed` where the phone was heard since
   */
  async lose(
    actor: Actor,
    visitId: string,
    phoneId: string,
    loss: { readonly because: string; readonly heardAt: string },
  ): Promise<LostPhone> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      await this.inspections.visit(tx, actor.tenant, visitId);
      await this.phones.queue(tx, visitId);
      const phone = await this.phones.find(tx, actor.tenant, visitId, phoneId);
      const before = (await this.reading.ofVisit(tx, actor.tenant, visitId)).find((each) => each.phone === phoneId);
      if (phone === null || before === undefined)
        throw new Refused('not-found', 'No such phone has been heard at this visit.');
      if (!sameInstant(phone.lastHeardAt, loss.heardAt)) {
        const detail = 'The phone has been heard since you looked. See what it brought before you call it lost.';
        throw new Refused('version-changed', detail);
      }
      const at = this.clock.now().toString({ smallestUnit: 'millisecond' });
      await this.phones.lose(tx, phone, { at, by: actor.name, because: loss.because });
      for (const fact of await this.phones.waiting(tx, phone))
        await this.takeOne(tx, senderOf(actor, phone, fact), fact, {
          aheadSeconds: phone.clockAheadSeconds,
          early: false,
        });
      return { ...before, lost: { at, by: actor.name, because: loss.because } };
    });
  }

  /** The receipt of one fact, as often as somebody asks. @throws Refused `not-found` */
  async receipt(actor: Actor, visitId: string, id: string): Promise<PhoneFactReceipt> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      await this.inspections.visit(tx, actor.tenant, visitId);
      const [standing] = await this.phones.standing(tx, actor.tenant, [id]);
      if (standing === undefined) throw new Refused('not-found', 'No phone has sent such a fact. Send it again.');
      return receiptOf(standing);
    });
  }

  private async hear(tx: EntityManager, actor: Actor, visitId: string, batch: PhoneBatch): Promise<PhoneRow> {
    const now = this.clock.now();
    const ahead = Temporal.Instant.from(batch.sentAt).epochMilliseconds - now.epochMilliseconds;
    return this.phones.hear(tx, {
      visitId,
      id: batch.phone,
      tenantId: actor.tenant,
      crew: actor.name,
      countedTo: Math.max(batch.countedTo, ...batch.facts.map(({ n }) => n)),
      clockAheadSeconds: Math.round(Math.max(-MOST_AHEAD_MS, Math.min(MOST_AHEAD_MS, ahead)) / 1000),
      lastHeardAt: now.toString({ smallestUnit: 'millisecond' }),
    });
  }

  private rowFor(actor: Actor, phone: PhoneRow, fact: PhoneFact): PhoneFactRow {
    const { id, n, kind, inspection, at, body } = fact;
    return {
      id,
      tenantId: actor.tenant,
      visitId: phone.visitId,
      phoneId: phone.id,
      n,
      kind,
      inspectionId: inspection ?? null,
      body,
      hash: sha256Hex(factText(fact)),
      happenedAt: at,
      receivedAt: this.clock.now().toString({ smallestUnit: 'millisecond' }),
      receivedBy: actorRef(actor),
      state: 'waiting',
      problem: null,
    };
  }

  /** Takes what has come in the order of its numbers, up to the first that is missing or held. @returns whether anything was taken */
  private async goOn(tx: EntityManager, actor: Actor, phone: PhoneRow): Promise<boolean> {
    const here = new Set(await this.phones.numbers(tx, phone, phone.takenTo));
    if (here.size === 0) return false;
    const waiting = new Map((await this.phones.waiting(tx, phone)).map((fact) => [fact.n, fact]));
    let n = phone.takenTo;
    while (here.has(n + 1)) {
      const fact = waiting.get(n + 1);
      const how = { aheadSeconds: phone.clockAheadSeconds, early: false };
      if (fact !== undefined && !(await this.takeOne(tx, actor, fact, how))) break;
      n += 1;
    }
    if (n === phone.takenTo) return false;
    await this.phones.takenTo(tx, phone, n);
    return true;
  }

  /** @param early before its turn: only what can be done now is done @returns whether it is settled */
  private async takeOne(
    tx: EntityManager,
    actor: Actor,
    fact: PhoneFactRow,
    { aheadSeconds, early }: { readonly aheadSeconds: number; readonly early: boolean },
  ): Promise<boolean> {
    const taking = await this.hands.take(tx, actor, fact, aheadSeconds);
    if (taking.is === 'held' || (taking.is === 'refused' && early)) return false;
    await this.phones.settle(tx, fact, taking.is === 'refused' ? taking.problem : null);
    return true;
  }
}

/** What a phone said is the word of whoever sent it, whoever has it looked at. */
function senderOf({ tenant }: Actor, { crew }: PhoneRow, { receivedBy }: PhoneFactRow): Actor {
  const [kind = '', id = ''] = receivedBy.split(':', 2);
  return { kind: kind === 'person' ? 'person' : 'link', tenant, id, name: crew, roles: ['crew'] };
}

function sameInstant(one: string, other: string): boolean {
  return Temporal.Instant.from(one).epochMilliseconds === Temporal.Instant.from(other).epochMilliseconds;
}

function receiptOf({ id, hash, state, problem }: FactStanding): PhoneFactReceipt {
  return { id, sha256: hash, state, ...(problem === null ? {} : { problem }) };
}
