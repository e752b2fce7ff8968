import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import {
  CLOCK_TOLERANCE_SECONDS,
  disagreements,
  happenedAtMs,
  isSettled,
  missingNumbers,
} from './domain/phone-facts.js';
import { InspectionsService } from './inspections.service.js';
import {
  PhoneReadModel,
  type OwingPhone,
  type PhotoOnPhone,
  type RefusedFact,
  type SaidAnswer,
} from './store/phone.read-model.js';
import { PhoneStore } from './store/phone.store.js';
import type { SettledAnswerRow } from './store/settled-answer.entity.js';
import { SettledAnswerStore } from './store/settled-answer.store.js';

/** A phone of a visit and what it still owes. */
export interface PhoneStanding extends OwingPhone {
  /** Numbers it has given out that never came; at most 100. */
  readonly missing: readonly number[];
  readonly photos: readonly PhotoOnPhone[];
  /** Facts that were kept but could not be done, with the reason. */
  readonly refused: readonly RefusedFact[];
}

/** What one phone answered. */
export interface GivenAnswer {
  readonly fact: string;
  readonly phone: string;
  readonly crew: string;
  readonly inspection: string;
  readonly value: unknown;
  readonly note?: string;
  /** RFC 3339 by our clock, worked out from the phone's where that is off by more than ten minutes. */
  readonly at: string;
  /** By the phone's own clock, where it was off by more than that. */
  readonly saidAt?: string;
}

/** A check on which two phones do not agree, and what was settled. */
export interface Disagreement {
  /** uuid of the inspection that was begun first among those that say something. */
  readonly inspection: string;
  readonly unit: string;
  readonly serial: string;
  readonly item: string;
  readonly answers: readonly GivenAnswer[];
  /** The newest settlement, also where a phone has said something new since. */
  readonly settled?: { readonly value: unknown; readonly words: string; readonly at: string; readonly by: string };
  /** Nobody has settled it as it stands. */
  readonly open: boolean;
}

/** The phones of a visit, and the checks on which they do not agree. */
export interface PhonesOfVisit {
  readonly phones: readonly PhoneStanding[];
  readonly disagreements: readonly Disagreement[];
}

const MOST_MISSING = 100;
const MOST_OWING = 200;

/** Which phones still hold something that the office does not have. */
@Injectable()
export class PhonesService {
  constructor(
    private readonly db: Database,
    private readonly clock: Clock,
    private readonly inspections: InspectionsService,
    private readonly phones: PhoneStore,
    private readonly reading: PhoneReadModel,
    private readonly settled: SettledAnswerStore,
  ) {}

  /** @throws Refused `not-found` */
  async ofVisit(actor: Actor, visitId: string): Promise<PhonesOfVisit> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      await this.inspections.visit(tx, actor.tenant, visitId);
      const owing = await this.reading.ofVisit(tx, actor.tenant, visitId);
      const rows = await this.phones.ofVisit(tx, actor.tenant, visitId);
      const standing: PhoneStanding[] = [];
      for (const phone of owing) {
        const row = rows.find(({ id }) => id === phone.phone);
        const numbers = row === undefined ? [] : await this.phones.numbers(tx, row, 0);
        standing.push({
          ...phone,
          missing: missingNumbers(phone.countedTo, numbers, MOST_MISSING),
          photos: await this.reading.photosOn(tx, actor.tenant, visitId, phone.phone),
          refused: await this.reading.refused(tx, actor.tenant, visitId, phone.phone),
        });
      }
      return { phones: standing, disagreements: await this.disagreeing(tx, actor.tenant, visitId) };
    });
  }

  /** Checks of a visit's units to which two phones gave different answers. */
  async disagreeing(tx: EntityManager, tenant: string, visitId: string): Promise<Disagreement[]> {
    const byUnit = Map.groupBy(await this.reading.newestAnswers(tx, tenant, visitId), ({ unit }) => unit);
    const found = [...byUnit.values()].flatMap((said) => disagreements(said));
    if (found.length === 0) return [];
    const inspections = [...new Set([...byUnit.values()].flat().map(({ inspection }) => inspection))];
    const settled = await this.settled.of(tx, tenant, inspections);
    const unitOf = new Map([...byUnit].flatMap(([unit, said]) => said.map(({ inspection }) => [inspection, unit])));
    const now = this.clock.now().epochMilliseconds;
    return found.flatMap(({ item, answers }) => {
      const [first] = answers.toSorted((a, b) => a.receivedAt.localeCompare(b.receivedAt));
      if (first === undefined) return [];
      const { unit, serial, inspection } = first;
      const newest = settled.findLast((each) => each.item === item && unitOf.get(each.inspectionId) === unit);
      return [
        {
          inspection,
          unit,
          serial,
          item,
          answers: answers.map((answer) => givenAnswer(answer, now)),
          ...(newest === undefined ? {} : { settled: settledView(newest) }),
          open: newest === undefined || !isSettled(answers, newest.facts),
        },
      ];
    });
  }

  /**
   * The phones that owe something, the one that has been silent longest first; at most 200.
   * @param lost those that somebody said are lost, instead of those that may still bring it
   */
  async owing(actor: Actor, lost: boolean): Promise<readonly OwingPhone[]> {
    return this.db.inTenant(scopeOf(actor), (tx) => this.reading.owing(tx, actor.tenant, lost, MOST_OWING));
  }

  /** How many photos of an inspection a phone says it holds that are not here and may still come. */
  async photosOwed(tx: EntityManager, tenant: string, inspectionId: string): Promise<number> {
    return this.reading.photosOwed(tx, tenant, inspectionId);
  }
}

function givenAnswer(answer: SaidAnswer, now: number): GivenAnswer {
  const { fact, phone, crew, inspection, value, note, saidAt, clockAheadSeconds } = answer;
  const ms = happenedAtMs(Temporal.Instant.from(saidAt).epochMilliseconds, clockAheadSeconds, now);
  const at = Temporal.Instant.fromEpochMilliseconds(ms).toString({ smallestUnit: 'millisecond' });
  return {
    fact,
    phone,
    crew,
    inspection,
    value,
    ...(note === null ? {} : { note }),
    at,
    ...(Math.abs(clockAheadSeconds) > CLOCK_TOLERANCE_SECONDS ? { saidAt } : {}),
  };
}

function settledView({ value, words, settledAt: at, settledByName: by }: SettledAnswerRow) {
  return { value, words, at, by };
}
