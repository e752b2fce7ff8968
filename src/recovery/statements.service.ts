import { Injectable } from '@nestjs/common';
import type { Actor } from '../access/access.contract.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { Refused } from '../platform/http/problems.js';
import { outstandingMinor } from './domain/recovery-life.js';
import { ageingOf, bandOf, daysOld, type Ageing, type Band } from './domain/statement.js';
import { referenceOf } from './packets.service.js';
import { RecoveryHands } from './recovery-hands.js';
import type { LiableParty, RecoveryState } from './recovery.contract.js';
import { MOST_ON_A_STATEMENT, RecoveryStore } from './store/recovery.store.js';

/** One demand on a statement. Amounts in minor units. */
export interface StatementLine {
  readonly id: string;
  readonly reference: string;
  readonly partyName: string;
  readonly state: RecoveryState;
  readonly sentAt: string;
  readonly days: number;
  readonly band: Band;
  readonly currency: string;
  readonly demandedMinor: number;
  readonly paidMinor: number;
  readonly salvageMinor: number;
  readonly writtenOffMinor: number;
  readonly outstandingMinor: number;
}

/** What one kind of party, or one of that name, owes us, by age. */
export interface Statement {
  readonly party: LiableParty;
  readonly name: string | null;
  readonly asOf: string;
  readonly lines: readonly StatementLine[];
  readonly ageing: readonly Ageing[];
}

/** Statements of what parties owe. */
@Injectable()
export class StatementsService {
  constructor(
    private readonly db: Database,
    private readonly store: RecoveryStore,
    private readonly hands: RecoveryHands,
  ) {}

  /** @throws Refused invalid-request where there are too many demands for one statement */
  of(actor: Actor, party: LiableParty, name: string | undefined): Promise<Statement> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const rows = await this.store.sentTo(tx, actor.tenant, party, name);
      if (rows.length > MOST_ON_A_STATEMENT) {
        throw new Refused(
          'invalid-request',
          `There are more than ${MOST_ON_A_STATEMENT} demands; ask for one name at a time.`,
        );
      }
      const asOf = this.hands.now();
      const lines = rows.map((row): StatementLine => {
        const sentAt = row.sentAt ?? asOf;
        const days = daysOld(sentAt, asOf);
        const { id, partyName, state, currency, paidMinor, salvageMinor, writtenOffMinor } = row;
        const amounts = { demandedMinor: row.bookedMinor, paidMinor, salvageMinor, writtenOffMinor };
        const owed = outstandingMinor(row);
        return {
          id,
          reference: referenceOf(row),
          partyName,
          state,
          sentAt,
          days,
          band: bandOf(days),
          currency,
          ...amounts,
          outstandingMinor: owed,
        };
      });
      return { party, name: name ?? null, asOf, lines, ageing: ageingOf(lines, asOf) };
    });
  }
}
