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
import type { Disagreement, GivenAnswer, OwingPhone, PhoneStanding } from './phones.contract.js';
import { PhoneReadModel, type SaidAnswer } from './store/phone.read-model.js';
import { PhoneStore } from './store/phone.store.js';
import type { SettledAnswerRow } from './store/settled-answer.entity.js';
import { SettledAnswerStore } from './store/settled-answer.store.js';

/** The phones of a visit, and the checks on which they do not agree. */
export interface PhonesOfVisit {
  readonly phones: readonly PhoneStanding[];
  readonly disagreements: readonly Disagreement[];
}

/** What a claim wants to know of the phones of its visit. */
export interface ClaimAtVisit {
  readonly visitId: string;
  readonly unitId: string;
  /** null: it rests on no inspection */
  readonly inspectionId: string | null;
  /** RFC 3339; null while nothing is decided */
  readonly decidedAt: string | null;
}

/** The phones of a claim's visit, what they do not agree on about its unit, and what came late. */
export interface PhonesOfClaim extends PhonesOfVisit {
  readonly saidAt: Readonly<Record<string, string>>;
  readonly factsAfterDecision: number;
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

  /** @throws Refused `not-found` */
  async ofClaim(actor: Actor, claim: ClaimAtVisit): Promise<PhonesOfClaim> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const { tenant } = actor;
      const { phones, disagreements } = await this.ofVisit(actor, claim.visitId);
      const said = await this.reading.newestAnswers(tx, tenant, claim.visitId);
      const now = this.clock.now().epochMilliseconds;
      const given = said
        .filter(({ inspection }) => inspection === claim.inspectionId)
        .map((each) => ({ item: each.item, ...givenAnswer(each, now) }))
        .toSorted((a, b) => a.at.localeCompare(b.at));
      // Of each item the answer that was given last is the one that is shown.
      const newest = [...new Map(given.map((each) => [each.item, each])).values()];
      return {
        phones,
        disagreements: disagreements.filter(({ unit }) => unit === claim.unitId),
        saidAt: Object.fromEntries(
          newest.flatMap(({ item, saidAt }) => (saidAt === undefined ? [] : [[item, saidAt] as const])),
        ),
        factsAfterDecision:
          claim.decidedAt === null ? 0 : await this.reading.cameAfter(tx, tenant, claim.visitId, claim.decidedAt),
      };
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
    ...(isOff(answer) ? { saidAt } : {}),
  };
}

function settledView({ value, words, settledAt: at, settledByName: by }: SettledAnswerRow) {
  return { value, words, at, by };
}

function isOff({ clockAheadSeconds }: SaidAnswer): boolean {
  return Math.abs(clockAheadSeconds) > CLOCK_TOLERANCE_SECONDS;
}
