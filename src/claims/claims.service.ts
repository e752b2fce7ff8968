import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import { InspectionsService } from '../inspections/inspections.service.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { pageOf, pageSize, readCursor, type CursorKey, type Page, type PageQuery } from '../platform/http/pages.js';
import { Refused } from '../platform/http/problems.js';
import type { VersionMatch } from '../platform/http/versions.js';
import { Jobs } from '../platform/jobs/jobs.js';
import type { ClaimEvent, ClaimOpening } from './claims.contract.js';
import { step } from './domain/claim-life.js';
import { isoInstant } from './domain/iso-instant.js';
import { stampOf } from './domain/stamp-of.js';
import type { ClaimRow } from './store/claim.entity.js';
import { ClaimQueueReadModel, NEVER, type ClaimFilter, type ClaimLine } from './store/claim-queue.read-model.js';
import { ClaimStore, lifeOf, takenUnit, type EventToWrite } from './store/claim.store.js';

/** What somebody opens a claim with. `id` is made by whoever opens it, so that a phone may repeat itself. */
export interface NewClaim extends ClaimOpening {
  readonly id: string;
  readonly visitId: string;
  readonly serial: string;
  readonly inspectionId: string | null;
  /** File it in the same step. */
  readonly file: boolean;
}

/** Name of the job that turns a filed claim into a proposal. */
export const ASSESS_CLAIM = 'assess-claim';

/** Name of the job that has a claim's clocks looked at once it was withdrawn. */
export const LOOK_AT_CLOCKS = 'look-at-clocks';

/** Opening, filing, finding and withdrawing claims. What reviewers do is in ClaimReviewService. */
@Injectable()
export class ClaimsService {
  constructor(
    private readonly db: Database,
    private readonly store: ClaimStore,
    private readonly queue: ClaimQueueReadModel,
    private readonly inspections: InspectionsService,
    private readonly jobs: Jobs,
    private readonly clock: Clock,
  ) {}

  /**
   * Opens a claim, and files it when asked to. Opening the same id again answers with the claim as it stands, filed by now if asked to,
   * also when both come at once.
   * @throws Refused serial-not-in-visit, duplicate-claim, claim-incomplete
   */
  open(actor: Actor, wish: NewClaim): Promise<ClaimRow> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const unit = await this.inspections.unitInVisit(tx, actor, wish.visitId, wish.serial);
      if (wish.inspectionId !== null) await this.sameUnit(tx, actor, wish.inspectionId, unit.unitId);
      const at = isoInstant(this.clock.now());
      const row = draft(actor, wish, unit, at);
      if (!(await this.store.insert(tx, row))) return this.openedBefore(tx, actor, row, wish.file);
      const body = {
        ground: wish.ground,
        visit: wish.visitId,
        serial: wish.serial,
        ...(wish.wish ? { wish: wish.wish } : {}),
      };
      const drafted = { kind: 'claim-drafted', at, actor: stampOf(actor), body } as const;
      if (wish.file) return this.fileRow(tx, actor, row, drafted);
      await this.store.append(tx, row, [drafted], null);
      return row;
    });
  }

  /** Files a draft: gives it its number and has it assessed. */
  file(actor: Actor, id: string, match: VersionMatch): Promise<ClaimRow> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.store.lock(tx, actor.tenant, id);
      match.demand(row.version);
      return this.fileRow(tx, actor, row);
    });
  }

  /** Takes a claim back while no decision stands. */
  withdraw(actor: Actor, id: string, reason: string, match: VersionMatch): Promise<ClaimRow> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.store.lock(tx, actor.tenant, id);
      match.demand(row.version);
      const outcome = step(await this.store.life(tx, row), 'withdraw');
      if (!outcome.ok) throw new Refused(outcome.refusal, outcome.detail);
      const at = isoInstant(this.clock.now());
      await this.store.append(tx, row, [{ kind: outcome.kind, at, actor: stampOf(actor), body: { reason } }]);
      await this.jobs.enqueue(tx, LOOK_AT_CLOCKS, { tenant: row.tenantId, claim: id });
      return this.store.update(
        tx,
        row,
        { state: outcome.next, withdrawnAt: at, dueAt: null, dueClock: null, promisedAt: null },
        at,
      );
    });
  }

  get(actor: Actor, id: string): Promise<ClaimRow> {
    return this.db.inTenant(scopeOf(actor), (tx) => this.store.find(tx, actor.tenant, id));
  }

  getByNumber(actor: Actor, number: string): Promise<ClaimRow> {
    return this.db.inTenant(scopeOf(actor), (tx) => this.store.findByNumber(tx, actor.tenant, number));
  }

  line(actor: Actor, id: string): Promise<ClaimLine> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const line = await this.queue.one(tx, actor.tenant, id);
      if (!line) throw new Refused('not-found', 'There is no claim with this id.');
      return line;
    });
  }

  /** Up to `limit + 1` claims after the cursor. */
  page(actor: Actor, filter: ClaimFilter, after: CursorKey | undefined, limit: number): Promise<ClaimLine[]> {
    return this.db.inTenant(scopeOf(actor), (tx) => this.queue.page(tx, actor.tenant, filter, after, limit));
  }

  /** One page of claims in the order of the filter. */
  async list(actor: Actor, filter: ClaimFilter, query: PageQuery): Promise<Page<ClaimLine>> {
    const size = pageSize(query);
    const lines = await this.page(actor, filter, readCursor(query, 'iu'), size);
    return pageOf(
      lines,
      size,
      (line) => [placeIn(filter.order, line), line.id],
      (line) => line,
    );
  }

  /** How many claims have a decision that waits for a second person. */
  awaitingCount(actor: Actor): Promise<number> {
    return this.db.inTenant(scopeOf(actor), (tx) => this.queue.awaiting(tx, actor.tenant));
  }

  counts(actor: Actor): Promise<Partial<Record<ClaimLine['state'], number>>> {
    return this.db.inTenant(scopeOf(actor), (tx) => this.queue.counts(tx, actor.tenant));
  }

  /** The claim's whole history, oldest first. */
  events(actor: Actor, id: string): Promise<ClaimEvent[]> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      await this.store.find(tx, actor.tenant, id);
      return this.store.events(tx, actor.tenant, id);
    });
  }

  /** @param drafted the first event of a claim that was opened just now; absent: the claim's history is read */
  private async fileRow(tx: EntityManager, actor: Actor, row: ClaimRow, drafted?: EventToWrite): Promise<ClaimRow> {
    const outcome = step(drafted === undefined ? await this.store.life(tx, row) : lifeOf(row, []), 'file');
    if (!outcome.ok) throw new Refused(outcome.refusal, outcome.detail);
    if (row.inspectionId === null && row.ground !== 'return') {
      throw new Refused(
        'claim-incomplete',
        'A claim for damage, shortage or failure rests on an inspection; start one for this unit first.',
      );
    }
    const at = isoInstant(this.clock.now());
    const number = await this.store.freeNumber(tx, row.tenantId);
    const body = { number, ground: row.ground, ...(row.inspectionId === null ? {} : { inspection: row.inspectionId }) };
    const filing = { kind: outcome.kind, at, actor: stampOf(actor), body };
    if (drafted === undefined) await this.store.append(tx, row, [filing]);
    else await this.store.append(tx, row, [drafted, filing], null);
    const filed = await this.store.update(tx, row, { state: outcome.next, number, filedAt: at, filedBy: actor.id }, at);
    await this.jobs.enqueue(tx, ASSESS_CLAIM, { tenant: row.tenantId, claim: row.id });
    return filed;
  }

  /** The claim that stands where a new one was to go: the same one when somebody repeats themselves. @throws Refused duplicate-claim */
  private async openedBefore(tx: EntityManager, actor: Actor, wanted: ClaimRow, file: boolean): Promise<ClaimRow> {
    const known = await this.store.lockIfSeen(tx, actor.tenant, wanted.id);
    if (known === null && (await this.store.openOnUnit(tx, actor.tenant, wanted.unitId))) throw takenUnit();
    if (known?.visitId !== wanted.visitId || known.unitId !== wanted.unitId || known.ground !== wanted.ground) {
      throw new Refused('duplicate-claim', 'Another claim was opened under this id. Use a new id for a new claim.');
    }
    return file && known.state === 'draft' ? this.fileRow(tx, actor, known) : known;
  }

  private async sameUnit(tx: EntityManager, actor: Actor, inspectionId: string, unitId: string): Promise<void> {
    const inspection = await this.inspections.placeOf(tx, actor, inspectionId);
    if (inspection.unitId === unitId) return;
    throw new Refused(
      'serial-not-in-visit',
      'The inspection was made of another unit than the one with this serial number.',
    );
  }
}

/** What a list in this order goes by. */
function placeIn(order: ClaimFilter['order'], line: ClaimLine): string {
  if (order === 'due') return line.dueAt ?? NEVER;
  return order === 'opened' ? line.openedAt : line.updatedAt;
}

function draft(
  actor: Actor,
  wish: NewClaim,
  unit: { readonly unitId: string; readonly retailerId: string; readonly currency: string },
  at: string,
): ClaimRow {
  return {
    id: wish.id,
    tenantId: actor.tenant,
    retailerId: unit.retailerId,
    visitId: wish.visitId,
    unitId: unit.unitId,
    inspectionId: wish.inspectionId,
    number: null,
    state: 'draft',
    ground: wish.ground,
    returnReason: wish.returnReason,
    wish: wish.wish,
    words: wish.words,
    failedRepairs: wish.failedRepairs,
    supplied: {},
    noticedAt: wish.noticedAt,
    noticeToCarrierAt: wish.noticeToCarrierAt,
    currency: unit.currency,
    filedBy: null,
    filedAt: null,
    proposedAt: null,
    decidedAt: null,
    settledAt: null,
    closedAt: null,
    withdrawnAt: null,
    dueAt: null,
    dueClock: null,
    promisedAt: null,
    assessmentId: null,
    decisionId: null,
    version: 1,
    createdBy: actor.id,
    createdAt: at,
    updatedAt: at,
  };
}
