import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { disagreements, missingNumbers } from './domain/phone-facts.js';
import { InspectionsService } from './inspections.service.js';
import { PhoneReadModel, type OwingPhone, type PhotoOnPhone } from './store/phone.read-model.js';
import { PhoneStore } from './store/phone.store.js';

/** A phone of a visit and what it still owes. */
export interface PhoneStanding extends OwingPhone {
  /** Numbers it has given out that never came; at most 100. */
  readonly missing: readonly number[];
  readonly photos: readonly PhotoOnPhone[];
  /** Facts that were kept but could not be done, with the reason. */
  readonly refused: readonly { readonly id: string; readonly kind: string; readonly problem: string }[];
}

/** The phones of a visit, and the checks on which they do not agree. */
export interface PhonesOfVisit {
  readonly phones: readonly PhoneStanding[];
  readonly disagreements: readonly {
    readonly inspection: string;
    readonly item: string;
    readonly answers: readonly { readonly phone: string; readonly value: unknown }[];
  }[];
}

const MOST_MISSING = 100;
const MOST_OWING = 200;

/** Which phones still hold something that the office does not have. */
@Injectable()
export class PhonesService {
  constructor(
    private readonly db: Database,
    private readonly inspections: InspectionsService,
    private readonly phones: PhoneStore,
    private readonly reading: PhoneReadModel,
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
      const answers = await this.reading.newestAnswers(tx, actor.tenant, visitId);
      const byInspection = Map.groupBy(answers, ({ inspection }) => inspection);
      return {
        phones: standing,
        disagreements: [...byInspection].flatMap(([inspection, given]) =>
          disagreements(given).map((each) => ({ inspection, ...each })),
        ),
      };
    });
  }

  /** The phones that owe something, the one that has been silent longest first; at most 200. */
  async owing(actor: Actor): Promise<readonly OwingPhone[]> {
    return this.db.inTenant(scopeOf(actor), (tx) => this.reading.owing(tx, actor.tenant, MOST_OWING));
  }

  /** How many photos of an inspection a phone says it holds that are not here. */
  async photosOwed(tx: EntityManager, tenant: string, inspectionId: string): Promise<number> {
    return this.reading.photosOwed(tx, tenant, inspectionId);
  }
}
