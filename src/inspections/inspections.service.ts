import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import type { StoredModel } from '../catalogue/catalogue.contract.js';
import { CatalogueService } from '../catalogue/catalogue.service.js';
import { Refused } from '../platform/http/problems.js';
import { currentAnswers, withSettled, type DatedAnswer } from './answer-history.js';
import { ChecklistsService } from './checklists.service.js';
import {
  askedItems,
  type Checklist,
  type InspectionForClaim,
  type LocatedInspection,
  type RaisedStop,
  type UnitInHand,
  type VisitFacts,
  type VisitForClaim,
} from './inspections.contract.js';
import type { InspectionAnswerRow, InspectionRow, SafetyStopRow } from './store/inspection.entity.js';
import { InspectionStore, type InspectionPlace } from './store/inspection.store.js';
import { SettledAnswerStore } from './store/settled-answer.store.js';
import type { VisitUnitRow } from './store/visit.entity.js';
import { VisitReadModel } from './store/visit.read-model.js';
import { VisitStore } from './store/visit.store.js';

/** A unit of a visit, found by what the crew reads off its label. */
export interface UnitInVisit {
  /** uuid */
  readonly unitId: string;
  readonly serial: string;
  readonly sku: string;
  /** uuid */
  readonly retailerId: string;
  readonly currency: string;
}

/** What other modules read of visits and inspections, inside their own transaction. */
@Injectable()
export class InspectionsService {
  constructor(
    private readonly catalogue: CatalogueService,
    private readonly checklists: ChecklistsService,
    private readonly store: InspectionStore,
    private readonly visits: VisitStore,
    private readonly visitReading: VisitReadModel,
    private readonly settled: SettledAnswerStore,
  ) {}

  /**
   * An inspection with its checklist and unit.
   * @throws Refused `not-found` for what lies outside the actor's tenant, retailer or visit
   */
  async locate(tx: EntityManager, actor: Actor, inspectionId: string): Promise<LocatedInspection> {
    const row = await this.store.find(tx, actor.tenant, inspectionId);
    if (row === null || (actor.visit !== undefined && actor.visit !== row.visitId)) throw noInspection();
    return this.located(tx, actor.tenant, row);
  }

  /**
   * The visit and the unit that an inspection belongs to, without reading what it is made of.
   * @throws Refused `not-found` for what lies outside the actor's tenant, retailer or visit
   */
  async placeOf(tx: EntityManager, actor: Actor, inspectionId: string): Promise<InspectionPlace> {
    const place = await this.store.place(tx, actor.tenant, inspectionId);
    if (place === undefined || (actor.visit !== undefined && actor.visit !== place.visitId)) throw noInspection();
    return place;
  }

  /** An inspection that was read already, with its checklist and unit. */
  async located(tx: EntityManager, tenant: string, row: InspectionRow): Promise<LocatedInspection> {
    const { checklist } = await this.checklists.byId(tx, tenant, row.checklistVersionId);
    const { unit, stored } = await this.unitAndModel(tx, tenant, row.unitId);
    return {
      id: row.id,
      visitId: row.visitId,
      unitId: row.unitId,
      checklist,
      unit: unitInHand(unit, stored),
      state: row.finishedAt === null ? 'open' : 'finished',
    };
  }

  /** Every answer of an inspection in the order in which they were given. */
  async history(tx: EntityManager, tenant: string, inspectionId: string): Promise<DatedAnswer[]> {
    return (await this.store.answers(tx, tenant, inspectionId)).map(datedAnswer);
  }

  /** Everything that a claim takes from an inspection. @throws Refused `not-found` */
  async forClaim(tx: EntityManager, tenant: string, inspectionId: string): Promise<InspectionForClaim> {
    const row = await this.store.find(tx, tenant, inspectionId);
    if (row === null) throw noInspection();
    const { checklist, hash } = await this.checklists.byId(tx, tenant, row.checklistVersionId);
    const { unit, stored } = await this.unitAndModel(tx, tenant, row.unitId);
    const current = withSettled(
      currentAnswers(await this.history(tx, tenant, inspectionId)),
      await this.settled.counting(tx, tenant, inspectionId),
    );
    const asked = new Set(askedItems(checklist, current, unitInHand(unit, stored)).map((item) => item.id));
    return {
      id: row.id,
      visitId: row.visitId,
      unitId: row.unitId,
      checklistRef: `${checklist.id}/${checklist.version}`,
      checklistHash: hash,
      startedAt: row.startedAt,
      finishedAt: row.finishedAt,
      crewSize: row.crewSize,
      foundAt: row.foundAt,
      // A later answer may have made an earlier question pointless; what it said is kept, but the claim does not rest on it.
      answers: current.filter((answer) => asked.has(answer.item)),
      safetyStops: (await this.store.stops(tx, tenant, inspectionId)).map(raisedStop),
    };
  }

  /** Everything that a claim takes from a visit and one of its units. @throws Refused `not-found` */
  async visitForClaim(tx: EntityManager, tenant: string, visitId: string, unitId: string): Promise<VisitForClaim> {
    const visit = await this.visit(tx, tenant, visitId);
    const { unit, stored } = await this.unitAndModel(tx, tenant, unitId);
    if (unit.visitId !== visitId) throw new Refused('not-found', 'There is no such unit in the visit.');
    const { sku, maker, checklist, evidenceModel } = stored.model;
    return {
      id: visit.id,
      retailerId: visit.retailer.id,
      retailer: visit.retailer.name,
      carrier: visit.carrier.name,
      order: visit.order,
      jurisdiction: visit.jurisdiction,
      zone: visit.zone,
      receipt: visit.receipt,
      receiptWords: visit.receiptWords,
      deliveredAt: visit.deliveredAt,
      custody: visit.custody,
      windowFrom: visit.windowFrom,
      windowTo: visit.windowTo,
      address: visit.address,
      crewSize: visit.crewSize,
      unit: { id: unit.id, sku, serial: unit.serial, maker, checklist, evidenceModel },
    };
  }

  /** @throws Refused `not-found` */
  async visit(tx: EntityManager, tenant: string, visitId: string): Promise<VisitFacts> {
    const visit = await this.visitReading.one(tx, tenant, visitId);
    if (visit === undefined) throw new Refused('not-found', 'There is no such visit.');
    return visit;
  }

  /** The unit of a visit by its serial number. @throws Refused `not-found` for the visit, `serial-not-in-visit` */
  async unitInVisit(tx: EntityManager, actor: Actor, visitId: string, serial: string): Promise<UnitInVisit> {
    const visit = await this.visit(tx, actor.tenant, visitId);
    const wanted = serial.trim().toUpperCase();
    const unit = visit.units.find((each) => each.serial.toUpperCase() === wanted);
    if (unit === undefined) {
      throw new Refused(
        'serial-not-in-visit',
        `Serial number ${serial.slice(0, 64)} is not part of this visit, which brings ${visit.units.map((each) => each.serial).join(', ')}. Read the label again.`,
      );
    }
    const { id: unitId, serial: printed, sku } = unit;
    return { unitId, serial: printed, sku, retailerId: visit.retailer.id, currency: visit.order.currency };
  }

  /** The code of the checklist that a unit of the tenant is inspected by. */
  async checklistOf(tx: EntityManager, tenant: string, unitId: string): Promise<string> {
    return (await this.unitAndModel(tx, tenant, unitId)).stored.model.checklist;
  }

  /** A published checklist. @param ref `code/version`, or `code` for the newest @throws Refused `checklist-not-published` */
  async checklist(tx: EntityManager, tenant: string, ref: string): Promise<Checklist> {
    return (await this.checklists.published(tx, tenant, ref)).checklist;
  }

  /** The newest published checklist of a code, where there is one. */
  async findChecklist(tx: EntityManager, tenant: string, code: string): Promise<Checklist | undefined> {
    return (await this.checklists.findPublished(tx, tenant, code))?.checklist;
  }

  private async unitAndModel(
    tx: EntityManager,
    tenant: string,
    unitId: string,
  ): Promise<{ readonly unit: VisitUnitRow; readonly stored: StoredModel }> {
    const unit = await this.visits.unit(tx, tenant, unitId);
    if (unit === null) throw new Refused('not-found', 'There is no such unit.');
    const stored = await this.catalogue.modelById(tx, tenant, unit.modelId);
    if (stored === undefined) throw new Error(`model ${unit.modelId} is gone, although units point to it`);
    return { unit, stored };
  }
}

/** A unit as the checklist sees it. */
function unitInHand(unit: VisitUnitRow, stored: StoredModel): UnitInHand {
  return {
    serial: unit.serial,
    packingList: stored.model.parts.map(({ number, component, pieces }) => ({ part: number, component, pieces })),
  };
}

function datedAnswer({ item, value, note, answeredAt }: InspectionAnswerRow): DatedAnswer {
  return { item, value, ...(note === null ? {} : { note }), answeredAt };
}

function raisedStop({ stop, raisedAt, acknowledgedAt, acknowledgedBy }: SafetyStopRow): RaisedStop {
  return { stop, raisedAt, acknowledgedAt, acknowledgedBy };
}

function noInspection(): Refused {
  return new Refused('not-found', 'There is no such inspection.');
}
