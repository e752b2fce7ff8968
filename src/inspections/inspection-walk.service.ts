import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { actorRef, type Actor } from '../access/access.contract.js';
import type { Fault } from '../kernel/outcome.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { Invalid, Refused } from '../platform/http/problems.js';
import type { VersionMatch } from '../platform/http/versions.js';
import { batchFaults, currentAnswers, mergedHistory, type DatedAnswer } from './answer-history.js';
import { ChecklistsService } from './checklists.service.js';
import {
  askedItems,
  itemsOf,
  nextItem,
  owedPhotos,
  raisedStops,
  type Answer,
  type Checklist,
  type ChecklistItem,
  type FoundAt,
  type LocatedInspection,
  type OwedPhoto,
  type RaisedStop,
} from './inspections.contract.js';
import { InspectionsService } from './inspections.service.js';
import type { InspectionRow, SafetyStopRow } from './store/inspection.entity.js';
import { InspectionStore } from './store/inspection.store.js';

/** An inspection as a crew begins it, on a phone that may have no signal. */
export interface InspectionStart {
  /** uuid, made on the phone */
  readonly id: string;
  readonly serial: string;
  /** RFC 3339 instant */
  readonly startedAt: string;
  /** Absent: as planned for the visit. */
  readonly crewSize?: number;
  /** Absent: `unboxing`. */
  readonly foundAt?: FoundAt;
  /** `code/version` of the checklist that is used; absent: the newest that is published. */
  readonly checklist?: string;
}

/** How far a walk has come. */
export interface WalkState {
  readonly row: InspectionRow;
  readonly located: LocatedInspection;
  readonly asked: readonly ChecklistItem[];
  /** The newest answer of every item, also of those no longer asked. */
  readonly answers: readonly Answer[];
  readonly owed: readonly OwedPhoto[];
  readonly stops: readonly RaisedStop[];
}

/** What the crew does next: see to a stop, answer an item, take photos, or nothing. */
export type NextStep =
  | { readonly kind: 'stop'; readonly stop: string }
  | { readonly kind: 'item'; readonly item: ChecklistItem }
  | { readonly kind: 'photos'; readonly owed: readonly OwedPhoto[] }
  | { readonly kind: 'done' };

/** How somebody closes an inspection. */
export interface CompletionWish {
  readonly acceptGaps: boolean;
  readonly reason?: string;
}

/** How far a phone's clock may run ahead. Common practice. */
const CLOCK_AHEAD = { minutes: 10 };

/** The walk through a checklist: begin, answer, stop, go on, finish. */
@Injectable()
export class InspectionWalkService {
  constructor(
    private readonly db: Database,
    private readonly clock: Clock,
    private readonly inspections: InspectionsService,
    private readonly checklists: ChecklistsService,
    private readonly store: InspectionStore,
  ) {}

  /**
   * Begins an inspection of one unit. Beginning it again under the same id changes nothing and answers the same.
   * @throws Refused `not-found`, `serial-not-in-visit`, `checklist-not-published`, `inspection-id-taken`
   */
  async start(actor: Actor, visitId: string, start: InspectionStart): Promise<WalkState> {
    this.demandPast('#/startedAt', start.startedAt);
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const visit = await this.inspections.visit(tx, actor.tenant, visitId);
      const unit = await this.inspections.unitInVisit(tx, actor, visitId, start.serial);
      const code = await this.inspections.checklistOf(tx, actor.tenant, unit.unitId);
      const pinned = start.checklist?.startsWith(`${code}/`) === true ? start.checklist : code;
      const published = await this.checklists.published(tx, actor.tenant, pinned);
      await this.store.insert(tx, {
        id: start.id,
        tenantId: actor.tenant,
        visitId,
        unitId: unit.unitId,
        checklistVersionId: published.id,
        crewSize: start.crewSize ?? visit.crewSize,
        startedAt: start.startedAt,
        foundAt: start.foundAt ?? 'unboxing',
        startedBy: actorRef(actor),
      });
      const row = await this.store.find(tx, actor.tenant, start.id);
      if (row?.visitId !== visitId || row.unitId !== unit.unitId) {
        throw new Refused('inspection-id-taken', 'Make a new id and begin again; nothing was changed.');
      }
      return this.state(tx, row);
    });
  }

  /** @throws Refused `not-found` */
  async read(actor: Actor, id: string): Promise<WalkState> {
    return this.db.inTenant(scopeOf(actor), async (tx) => this.state(tx, await this.demand(tx, actor, id)));
  }

  /** The inspections of a visit, in the order in which they began. @throws Refused `not-found` */
  async ofVisit(actor: Actor, visitId: string): Promise<readonly InspectionRow[]> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      await this.inspections.visit(tx, actor.tenant, visitId);
      return this.store.ofVisit(tx, actor.tenant, visitId);
    });
  }

  /** The checklist that an inspection of a unit would begin with now. @throws Refused `not-found`, `checklist-not-published` */
  async checklistOf(actor: Actor, visitId: string, unitId: string): Promise<Checklist> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      await this.inspections.visit(tx, actor.tenant, visitId);
      const code = await this.inspections.checklistOf(tx, actor.tenant, unitId);
      return this.inspections.checklist(tx, actor.tenant, code);
    });
  }

  /**
   * Adds answers: all of them or none. Answers given earlier stay; the newest of an item counts.
   * @param past the answers were given on a phone before they came here: a safety stop does not undo what has happened
   * @throws Invalid with every fault of the batch; Refused `not-found`, `inspection-finished`, `safety-stop-stands`
   */
  async answer(actor: Actor, id: string, batch: readonly DatedAnswer[], past = false): Promise<WalkState> {
    batch.forEach((answer, index) => this.demandPast(`#/answers/${index}/answeredAt`, answer.answeredAt));
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.demandOpen(tx, actor, id);
      if (!past) await this.demandNoStop(tx, row);
      const { checklist, unit } = await this.inspections.located(tx, actor.tenant, row);
      const history = await this.inspections.history(tx, actor.tenant, id);
      demandSound(
        batchFaults(checklist, history, batch, unit),
        batch,
        new Set(itemsOf(checklist).map((item) => item.id)),
      );
      const keys = { tenantId: row.tenantId, inspectionId: id, visitId: row.visitId };
      await this.store.append(
        tx,
        batch.map(({ note, ...answer }) => ({ ...answer, ...keys, note: note ?? null, answeredBy: actorRef(actor) })),
      );
      const current = currentAnswers(mergedHistory(history, batch));
      const raised = { raisedAt: this.clock.now().toString(), raisedBy: actorRef(actor) };
      await this.store.raise(
        tx,
        raisedStops(checklist, current, unit).map((stop) => ({ ...keys, stop: stop.id, ...raised })),
      );
      return this.state(tx, row);
    });
  }

  /** Somebody has read a stop and done what it says. The first acknowledgment counts. @throws Refused `not-found` */
  async acknowledge(
    actor: Actor,
    id: string,
    stop: string,
  ): Promise<{ readonly checklist: Checklist; readonly raised: RaisedStop }> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.demand(tx, actor, id);
      const find = async () => (await this.store.stops(tx, actor.tenant, row.id)).find((each) => each.stop === stop);
      const standing = await find();
      if (standing === undefined) throw new Refused('not-found', 'No answer has raised such a stop.');
      await this.store.acknowledge(tx, standing, actorRef(actor), this.clock.now().toString());
      const { checklist } = await this.inspections.located(tx, actor.tenant, row);
      return { checklist, raised: stopView((await find()) ?? standing) };
    });
  }

  /**
   * Closes an inspection. What was not checked stays not checked.
   * @throws Refused `inspection-incomplete` with what is missing, unless gaps are accepted with a reason; `safety-stop-stands` always
   */
  async complete(actor: Actor, id: string, match: VersionMatch, wish: CompletionWish): Promise<WalkState> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.demandOpen(tx, actor, id);
      match.demand(row.version);
      await this.demandNoStop(tx, row);
      const gaps = gapsOf(await this.state(tx, row));
      if (gaps.items.length + gaps.photos.length > 0) demandAccepted(wish, gaps);
      const gapsReason = wish.acceptGaps ? (wish.reason ?? null) : null;
      const completion = { at: this.clock.now().toString(), by: actorRef(actor), gapsReason };
      if (!(await this.store.finish(tx, row, completion))) {
        throw new Refused(
          'version-changed',
          'Somebody else finished the inspection at the same moment. Read it again.',
        );
      }
      return this.state(tx, await this.demand(tx, actor, id));
    });
  }

  private async state(tx: EntityManager, row: InspectionRow): Promise<WalkState> {
    const located = await this.inspections.located(tx, row.tenantId, row);
    const { checklist, unit } = located;
    const answers = currentAnswers(await this.inspections.history(tx, row.tenantId, row.id));
    const photos = await this.store.photos(tx, row.tenantId, row.id);
    return {
      row,
      located,
      asked: askedItems(checklist, answers, unit),
      answers,
      owed: owedPhotos(checklist, answers, unit, photos),
      stops: (await this.store.stops(tx, row.tenantId, row.id)).map(stopView),
    };
  }

  private async demand(tx: EntityManager, actor: Actor, id: string): Promise<InspectionRow> {
    const row = await this.store.find(tx, actor.tenant, id);
    if (row === null) throw new Refused('not-found', 'There is no such inspection.');
    return row;
  }

  private async demandOpen(tx: EntityManager, actor: Actor, id: string): Promise<InspectionRow> {
    const row = await this.store.lock(tx, actor.tenant, id);
    if (row === null) throw new Refused('not-found', 'There is no such inspection.');
    if (row.finishedAt !== null) {
      throw new Refused('inspection-finished', 'Begin another inspection of the unit to add to what was found.');
    }
    return row;
  }

  private async demandNoStop(tx: EntityManager, row: InspectionRow): Promise<void> {
    const standing = (await this.store.stops(tx, row.tenantId, row.id)).filter((stop) => stop.acknowledgedAt === null);
    if (standing.length === 0) return;
    throw new Refused(
      'safety-stop-stands',
      'Do what the stop says, acknowledge it, and send this again. Nothing that you entered is lost on the phone.',
      { stops: standing.map((stop) => stop.stop) },
    );
  }

  private demandPast(pointer: string, at: string): void {
    if (Temporal.Instant.compare(Temporal.Instant.from(at), this.clock.now().add(CLOCK_AHEAD)) <= 0) return;
    throw new Invalid([{ pointer, detail: 'This lies in the future. Check the clock of the phone.' }]);
  }
}

/** What comes next. A stop that nobody has seen comes before everything else. */
export function nextStep(state: WalkState): NextStep {
  const stop = state.stops.find((each) => each.acknowledgedAt === null);
  if (stop !== undefined) return { kind: 'stop', stop: stop.stop };
  const item = nextItem(state.located.checklist, state.answers, state.located.unit);
  if (item !== undefined) return { kind: 'item', item };
  return state.owed.length > 0 ? { kind: 'photos', owed: state.owed } : { kind: 'done' };
}

interface Gaps {
  readonly items: readonly string[];
  readonly photos: readonly OwedPhoto[];
}

/** Items without any answer, and photos still owed. An item answered `not checked` has been looked at and is no gap. */
function gapsOf(state: WalkState): Gaps {
  const answered = new Set(state.answers.map((answer) => answer.item));
  return { items: state.asked.map((item) => item.id).filter((id) => !answered.has(id)), photos: state.owed };
}

function demandAccepted(wish: CompletionWish, gaps: Gaps): void {
  if (!wish.acceptGaps) {
    throw new Refused(
      'inspection-incomplete',
      'Answer the items and take the photos that are listed, or accept the gaps and say why.',
      { missing: gaps },
    );
  }
  if (wish.reason === undefined) {
    throw new Invalid([{ pointer: '#/reason', detail: 'Say why the inspection ends with gaps.' }], 'reason-required');
  }
}

function demandSound(faults: readonly Fault[], batch: readonly DatedAnswer[], known: ReadonlySet<string>): void {
  if (faults.length === 0) return;
  // The more exact code where every fault is of that kind: a known item that the answers so far do not lead to.
  const notAsked = faults.every(({ pointer }) => {
    const match = /^#\/answers\/(\d+)\/item$/.exec(pointer);
    return match !== null && known.has(batch[Number(match[1])]?.item ?? '');
  });
  throw new Invalid(faults, notAsked ? 'item-not-asked' : 'answer-invalid');
}

function stopView({ stop, raisedAt, acknowledgedAt, acknowledgedBy }: SafetyStopRow): RaisedStop {
  return { stop, raisedAt, acknowledgedAt, acknowledgedBy };
}
