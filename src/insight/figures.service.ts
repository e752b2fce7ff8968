import { Injectable } from '@nestjs/common';
import type { Actor } from '../access/access.contract.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { Invalid } from '../platform/http/problems.js';
import { openByBand, overridesOf, yieldsOf } from './domain/figures.js';
import type { Figures, FiguresWish } from './insight.contract.js';
import { FiguresReadModel } from './store/figures.read-model.js';

/** The longest stretch of days that is worked out at once. */
const MOST_YEARS = 5;

/** The figures of a house: what was decided, how long it took, what was broken, what came back. */
@Injectable()
export class FiguresService {
  constructor(
    private readonly db: Database,
    private readonly figures: FiguresReadModel,
    private readonly clock: Clock,
  ) {}

  /**
   * Works the figures out as of now. Days left out are the twelve months up to today.
   * @throws Invalid where the days are the wrong way round or too many
   */
  async of(actor: Actor, asked: Partial<FiguresWish>): Promise<Figures> {
    const now = this.clock.now();
    const wish = { ...asked, ...daysOf(asked, now) };
    const filter = {
      tenant: actor.tenant,
      from: `${wish.from}T00:00:00Z`,
      until: `${Temporal.PlainDate.from(wish.until).add({ days: 1 }).toString()}T00:00:00Z`,
      retailer: wish.retailer ?? null,
      maker: wish.maker ?? null,
    };
    return this.db.inTenant(scopeOf(actor), async (tx) => ({
      wish,
      asOf: now.toString(),
      decided: await this.figures.decided(tx, filter),
      open: openByBand(await this.figures.open(tx, filter, now.toString())),
      times: {
        firstLook: await this.figures.firstLook(tx, filter),
        decision: await this.figures.decision(tx, filter),
        byMonth: await this.figures.decisionByMonth(tx, filter),
      },
      classes: await this.figures.classes(tx, filter),
      overrides: overridesOf(await this.figures.overrides(tx, filter)),
      money: await this.figures.money(tx, filter),
      checks: yieldsOf(await this.figures.checks(tx, filter)),
      choices: await this.figures.choices(tx, actor.tenant),
    }));
  }
}

function daysOf(asked: Partial<FiguresWish>, now: Temporal.Instant): { readonly from: string; readonly until: string } {
  const until =
    asked.until === undefined ? now.toZonedDateTimeISO('UTC').toPlainDate() : Temporal.PlainDate.from(asked.until);
  const from =
    asked.from === undefined ? until.subtract({ years: 1 }).add({ days: 1 }) : Temporal.PlainDate.from(asked.from);
  if (Temporal.PlainDate.compare(from, until) > 0)
    throw new Invalid([{ pointer: '#/from', detail: 'The first day lies after the last one.' }]);
  if (Temporal.PlainDate.compare(from.add({ years: MOST_YEARS }), until) < 0)
    throw new Invalid([{ pointer: '#/from', detail: `Ask for at most ${MOST_YEARS} years at once.` }]);
  return { from: from.toString(), until: until.toString() };
}
