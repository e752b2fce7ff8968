import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { AdjudicationService } from '../adjudication/adjudication.service.js';
import type { Assessment, ClaimFile } from '../adjudication/adjudication.contract.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { InjectLog } from '../platform/telemetry/inject-log.js';
import type { Log } from '../platform/telemetry/log.js';
import {
  ended,
  matters,
  nearestDue,
  nearestPromise,
  raiseOf,
  recordOf,
  type ClockRecord,
  type Outliving,
} from './domain/clock-watch.js';
import { happenedTo, toldBy } from './domain/happenings.js';
import { isoInstant } from './domain/iso-instant.js';
import { SERVICE_STAMP } from './domain/stamp-of.js';
import { ClaimRow } from './store/claim.entity.js';
import type { ClaimClockRow } from './store/claim-clock.entity.js';
import { ClaimClockStore, type OfClaim } from './store/claim-clock.store.js';
import { ClaimStore } from './store/claim.store.js';

/** What the watch shows to look across tenants; the wall around claim_clock knows it. No e-mail address and no hash reads like this. */
const WATCH_CREDENTIAL = 'watch:clocks';
/** Claims that one look across tenants takes up. */
const BATCH = 200;
/** Looks of one sweep at the most; what is left over is seen by the next one. */
const MOST_BATCHES = 50;
/** After how many minutes a claim is looked at again whose clocks could not be judged. */
const PUT_OFF_MINUTES = 10;

/** Keeps the clocks of claims: written with each assessment, refreshed by what happens, raised when they are due. */
@Injectable()
export class ClockWatchService {
  constructor(
    private readonly db: Database,
    private readonly store: ClaimStore,
    private readonly clocks: ClaimClockStore,
    private readonly adjudication: AdjudicationService,
    private readonly clock: Clock,
    @InjectLog() private readonly log: Log,
  ) {}

  /**
   * Writes a claim's clocks as they stand now, and the claim's nearest due date with them. Does nothing before the first assessment.
   * The caller holds the claim's row lock; the row in hand follows. The claim's version stays: it was its own act that changed it.
   */
  async refresh(tx: EntityManager, row: ClaimRow, at: string): Promise<void> {
    if (row.assessmentId !== null) await this.db.widened(tx, (wide) => this.rewrite(wide, row, at));
  }

  /** Looks at one claim: refreshes its clocks, and raises what is due of them. Looking twice raises nothing twice. */
  async look({ tenantId, claimId }: OfClaim): Promise<void> {
    await this.db.inTenant({ tenant: tenantId }, async (tx) => {
      const row = await this.store.lockIfSeen(tx, tenantId, claimId);
      if (row === null) return;
      const at = isoInstant(this.clock.now());
      for (const record of await this.rewrite(tx, row, at)) await this.raise(tx, record, at);
    });
  }

  /** Looks at every claim of every tenant whose clocks want it by now. One claim that fails is put off, and keeps none waiting. */
  async sweep(): Promise<void> {
    for (let batch = 0; batch < MOST_BATCHES; batch += 1) {
      const at = isoInstant(this.clock.now());
      const wanting = await this.db.byCredential(WATCH_CREDENTIAL, (tx) => this.clocks.wanting(tx, at, BATCH));
      for (const of of wanting) await this.lookOrPutOff(of);
      if (wanting.length < BATCH) return;
    }
  }

  /** Has every open clock of a tenant counted anew by the next sweep. */
  async countAnew(tenant: string): Promise<void> {
    const at = isoInstant(this.clock.now());
    await this.db.inTenant({ tenant }, (tx) => this.clocks.lookSoon(tx, tenant, at));
  }

  private async lookOrPutOff(of: OfClaim): Promise<void> {
    try {
      await this.look(of);
    } catch (error) {
      this.log.error({ err: error, claim: of.claimId }, 'the clocks of a claim could not be looked at');
      const now = this.clock.now();
      const until = isoInstant(now.add({ minutes: PUT_OFF_MINUTES }));
      await this.db.inTenant({ tenant: of.tenantId }, (tx) => this.clocks.putOff(tx, of, isoInstant(now), until));
    }
  }

  private async rewrite(tx: EntityManager, row: ClaimRow, at: string): Promise<ClaimClockRow[]> {
    const of = { tenantId: row.tenantId, claimId: row.id };
    const stored = row.assessmentId === null ? null : await this.store.assessment(tx, row.tenantId, row.assessmentId);
    if (stored === null) return [];
    const known = await this.clocks.of(tx, of);
    const file = await this.asOf(tx, row, stored.facts as ClaimFile, at);
    const now = await this.adjudication.clocks(tx, row.tenantId, file, (stored.assessment as Assessment).clocks);
    const outcome = row.state === 'closed' ? (await this.store.life(tx, row)).standing?.outcome : undefined;
    const served = outcome !== undefined && outcome !== 'declined';
    const standing = now.clocks.map((clock) => {
      const record = recordOf(
        clock,
        known.find((each) => isOf(each, clock.id, clock.occurrence ?? 1)),
      );
      return matters(clock.id, row.state, now, served) ? record : ended(record);
    });
    const gone = known.filter((each) => !now.clocks.some((clock) => isOf(each, clock.id, clock.occurrence ?? 1)));
    const rows = await this.clocks.write(tx, of, { known, records: [...standing, ...gone.map(ended)], at });
    await this.keepDue(tx, row, standing, now);
    return rows;
  }

  /** The facts that were assessed, with everything that has happened since. */
  private async asOf(tx: EntityManager, row: ClaimRow, facts: ClaimFile, at: string): Promise<ClaimFile> {
    const of = { tenantId: row.tenantId, claimId: row.id };
    const told = toldBy(await this.clocks.happenings(tx, of));
    const events = { ...facts.events, ...happenedTo(row), ...told.events };
    return { ...facts, events, statusLetters: told.statusLetters, asOf: at };
  }

  private async keepDue(
    tx: EntityManager,
    row: ClaimRow,
    records: readonly ClockRecord[],
    outliving: Outliving,
  ): Promise<void> {
    const promisedAt = nearestPromise(records, row.state, outliving);
    const due = { ...nearestDue(records, row.state), promisedAt };
    if (row.dueAt === due.dueAt && row.dueClock === due.dueClock && row.promisedAt === promisedAt) return;
    await tx.update(ClaimRow, { tenantId: row.tenantId, id: row.id }, due);
    Object.assign(row, due);
  }

  private async raise(tx: EntityManager, row: ClaimClockRow, at: string): Promise<void> {
    const raise = raiseOf(row, at);
    if (raise === undefined || !(await this.clocks.raised(tx, row, raise.after, at))) return;
    const { clockId, occurrence, title, owedBy, lapse, effect, lastDay, endsAt } = row;
    const body = { clock: clockId, occurrence, title, owedBy, lapse, effect, lastDay, endsAt };
    const claim = { id: row.claimId, tenantId: row.tenantId };
    await this.store.append(tx, claim, [{ kind: raise.kind, at, actor: SERVICE_STAMP, body }]);
  }
}

function isOf(row: ClaimClockRow, id: string, occurrence: number): boolean {
  return row.clockId === id && row.occurrence === occurrence;
}
