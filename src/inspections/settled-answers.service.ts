import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { actorRef, type Actor } from '../access/access.contract.js';
import { Clock } from '../platform/clock.js';
import { Invalid, Refused } from '../platform/http/problems.js';
import { currentAnswers, withSettled } from './answer-history.js';
import { checkAnswer, type AnswerValue } from './inspections.contract.js';
import { InspectionsService } from './inspections.service.js';
import type { Disagreement } from './phones.contract.js';
import { PhonesService } from './phones.service.js';
import { SettledAnswerStore } from './store/settled-answer.store.js';

/** What counts from now on, and why. */
export interface Settlement {
  readonly item: string;
  readonly value: AnswerValue;
  readonly words: string;
}

/** Where two phones gave different answers to a check, a person says which counts. Both stay readable. */
@Injectable()
export class SettledAnswersService {
  constructor(
    private readonly clock: Clock,
    private readonly inspections: InspectionsService,
    private readonly phones: PhonesService,
    private readonly store: SettledAnswerStore,
  ) {}

  /**
   * Settles one check of an inspection, inside the caller's transaction. The value need not be one of those that were given, but must
   * fit the check; null says that nobody knows.
   * @returns what did not agree
   * @throws Refused `not-found` where the phones agree; Invalid `answer-invalid`
   */
  async settle(tx: EntityManager, actor: Actor, inspectionId: string, wish: Settlement): Promise<Disagreement> {
    const { item, value, words } = wish;
    const { unitId, visitId, checklist, unit } = await this.inspections.locate(tx, actor, inspectionId);
    const open = await this.phones.disagreeing(tx, actor.tenant, visitId);
    const found = open.find((each) => each.item === item && each.unit === unitId);
    if (found === undefined)
      throw new Refused('not-found', 'The phones agree on this check by now. Load the case again to see what counts.');
    const history = await this.inspections.history(tx, actor.tenant, inspectionId);
    const others = withSettled(
      currentAnswers(history),
      await this.store.counting(tx, actor.tenant, inspectionId),
    ).filter((answer) => answer.item !== item);
    const faults = checkAnswer(checklist, others, unit, { item, value });
    if (faults.length > 0) throw new Invalid(faults, 'answer-invalid');
    await this.store.add(tx, {
      tenantId: actor.tenant,
      visitId,
      inspectionId,
      item,
      value,
      words,
      facts: found.answers.map(({ fact }) => fact),
      settledAt: this.clock.now().toString({ smallestUnit: 'millisecond' }),
      settledBy: actorRef(actor),
      settledByName: actor.name,
    });
    return found;
  }
}
