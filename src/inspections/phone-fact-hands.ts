import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { actorRef, type Actor } from '../access/access.contract.js';
import { parseUuid } from '../kernel/ids.js';
import { RECEIPTS } from '../kernel/vocabulary.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { isInstant } from '../platform/http/fields.js';
import { Invalid, Refused } from '../platform/http/problems.js';
import { VersionMatch } from '../platform/http/versions.js';
import { happenedAtMs } from './domain/phone-facts.js';
import { InspectionWalkService } from './inspection-walk.service.js';
import type { AnswerValue, FoundAt } from './inspections.contract.js';
import { InspectionsService } from './inspections.service.js';
import type { PhoneFactRow } from './store/phone.entity.js';
import { InspectionStore } from './store/inspection.store.js';
import { VisitsService } from './visits.service.js';

/** `held`: not now, because a safety stop stands; everything else is settled for good. */
export type Taking = { readonly is: 'taken' } | { readonly is: 'held' } | { readonly is: 'refused'; problem: string };

/** What a fact of a phone changes. What cannot be done is said in words and kept; it never stops the facts behind it. */
@Injectable()
export class PhoneFactHands {
  constructor(
    private readonly db: Database,
    private readonly clock: Clock,
    private readonly walk: InspectionWalkService,
    private readonly inspections: InspectionsService,
    private readonly store: InspectionStore,
    private readonly visits: VisitsService,
  ) {}

  /** @param aheadSeconds by how much the clock of the phone ran ahead when it sent the fact */
  async take(tx: EntityManager, actor: Actor, fact: PhoneFactRow, aheadSeconds: number): Promise<Taking> {
    try {
      await this.db.attempt(tx, () => this.change(tx, actor, fact, this.timeOf(fact, aheadSeconds)));
      return { is: 'taken' };
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      if (error.code === 'safety-stop-stands') return { is: 'held' };
      return { is: 'refused', problem: sentence(error) };
    }
  }

  private async change(tx: EntityManager, actor: Actor, fact: PhoneFactRow, at: string): Promise<void> {
    const body = new FactBody({ ...fact.body });
    const { visitId } = fact;
    const inspection = fact.inspectionId ?? '';
    switch (fact.kind) {
      case 'begin':
        await this.walk.start(actor, visitId, { ...beginning(body), id: inspection, startedAt: at });
        return;
      case 'answer': {
        await this.demandOf(tx, actor, inspection, visitId);
        const note = body.maybe('note', 2000);
        const answer = { item: body.text('item', 100), value: body.value(), answeredAt: at };
        await this.walk.answer(actor, inspection, [note === undefined ? answer : { ...answer, note }], true);
        return;
      }
      case 'stop':
        return this.raise(tx, actor, inspection, body.text('stop', 100));
      case 'acknowledge':
        await this.demandOf(tx, actor, inspection, visitId);
        await this.walk.acknowledge(actor, inspection, body.text('stop', 100));
        return;
      case 'receipt':
        return this.receive(actor, visitId, body);
      case 'complete': {
        await this.demandOf(tx, actor, inspection, visitId);
        const reason = body.maybe('reason', 2000);
        const wish = reason === undefined ? { acceptGaps: false } : { acceptGaps: true, reason };
        await this.walk.complete(actor, inspection, VersionMatch.read('*'), wish);
        return;
      }
      case 'photo':
        body.id('photo');
        body.text('item', 100);
        body.text('shows', 100);
        return;
      case 'withdraw':
        body.id('photo');
        return;
      case 'claim':
        body.id('claim');
    }
  }

  /** A stop that the phone's own walk raised counts before the answers that led to it are here. */
  private async raise(tx: EntityManager, actor: Actor, inspection: string, stop: string): Promise<void> {
    const { checklist, visitId } = await this.inspections.locate(tx, actor, inspection);
    if (!checklist.stops.some(({ id }) => id === stop))
      throw new Refused('not-found', `The checklist has no stop "${stop}".`);
    const raised = { raisedAt: this.clock.now().toString(), raisedBy: actorRef(actor) };
    await this.store.raise(tx, [{ tenantId: actor.tenant, inspectionId: inspection, visitId, stop, ...raised }]);
  }

  private async receive(actor: Actor, visitId: string, body: FactBody): Promise<void> {
    const kind = RECEIPTS.find((each) => each === body.text('kind', 40));
    if (kind === undefined) throw mistake('kind', `must be one of ${RECEIPTS.join(', ')}`);
    const words = body.maybe('words', 2000);
    const deliveredAt = body.instant('deliveredAt');
    const wish = { kind, deliveredAt, ...(words === undefined ? {} : { words }) };
    await this.visits.receive(actor, visitId, VersionMatch.read('*'), wish);
  }

  /** An inspection of another visit looks as if it did not exist, whatever the actor could see elsewhere. */
  private async demandOf(tx: EntityManager, actor: Actor, inspection: string, visitId: string): Promise<void> {
    const place = await this.inspections.placeOf(tx, actor, inspection);
    if (place.visitId !== visitId) throw new Refused('not-found', 'There is no such inspection at this visit.');
  }

  private timeOf(fact: PhoneFactRow, aheadSeconds: number): string {
    const at = Temporal.Instant.from(fact.happenedAt).epochMilliseconds;
    const ms = happenedAtMs(at, aheadSeconds, this.clock.now().epochMilliseconds);
    return Temporal.Instant.fromEpochMilliseconds(ms).toString({ smallestUnit: 'millisecond' });
  }
}

const FOUND_AT: readonly FoundAt[] = ['unboxing', 'assembly', 'use'];

function beginning(body: FactBody) {
  const crewSize = body.whole('crewSize', 1, 10);
  const foundAt = FOUND_AT.find((each) => each === body.maybe('foundAt', 20));
  const checklist = body.maybe('checklist', 80);
  return {
    serial: body.text('serial', 64),
    ...(crewSize === undefined ? {} : { crewSize }),
    ...(foundAt === undefined ? {} : { foundAt }),
    ...(checklist === undefined ? {} : { checklist }),
  };
}

/** The fields of a fact. What is not as it should be is refused by name, and the fact is kept with that sentence. */
class FactBody {
  constructor(private readonly fields: Readonly<Record<string, unknown>>) {}

  text(name: string, max: number): string {
    const found = this.maybe(name, max);
    if (found === undefined) throw mistake(name, 'is missing');
    return found;
  }

  maybe(name: string, max: number): string | undefined {
    const value = this.fields[name];
    if (value === undefined || value === '') return undefined;
    if (typeof value !== 'string' || value.length > max) throw mistake(name, `must be text of up to ${max} characters`);
    return value;
  }

  whole(name: string, min: number, max: number): number | undefined {
    const value = this.fields[name];
    if (value === undefined) return undefined;
    if (typeof value !== 'number' || !Number.isInteger(value) || value < min || value > max)
      throw mistake(name, `must be a whole number from ${min} to ${max}`);
    return value;
  }

  id(name: string): string {
    const found = parseUuid(this.text(name, 36));
    if (found === undefined) throw mistake(name, 'must be a UUID');
    return found;
  }

  instant(name: string): string {
    const value = this.text(name, 40);
    if (!isInstant(value)) throw mistake(name, 'must be an RFC 3339 instant');
    return value;
  }

  /** Whether it fits its question is for the checklist to say. */
  value(): AnswerValue {
    const { value } = this.fields;
    if (value === undefined) throw mistake('value', 'must be there; null where nothing was checked');
    return value as AnswerValue;
  }
}

function mistake(name: string, says: string): Invalid {
  return new Invalid([{ pointer: `#/body/${name}`, detail: `${name} ${says}.` }]);
}

function sentence(refused: Refused): string {
  const faults = refused.faults.map(({ detail }) => detail).join(' ');
  return (faults === '' ? refused.message : faults).slice(0, 1000);
}
