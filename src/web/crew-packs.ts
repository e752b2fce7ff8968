import { Injectable } from '@nestjs/common';
import type { Actor } from '../access/access.contract.js';
import { CatalogueService } from '../catalogue/catalogue.service.js';
import { ClaimsService } from '../claims/claims.service.js';
import type { EvidenceModel, FindingBar } from '../diagnosis/diagnosis.contract.js';
import { DiagnosisService } from '../diagnosis/diagnosis.service.js';
import { EvidenceService } from '../evidence/evidence.service.js';
import { InspectionWalkService } from '../inspections/inspection-walk.service.js';
import type { Checklist, VisitFacts } from '../inspections/inspections.contract.js';
import { VisitsService } from '../inspections/visits.service.js';
import { showClaimNumber } from '../kernel/claim-number.js';
import { Clock } from '../platform/clock.js';
import { Refused } from '../platform/http/problems.js';
import type { CrewPack, CrewUnit, CrewVisit, KnownInspection } from './shared/crew-pack.js';

/** Most photos of one inspection that a phone is told of. */
const MOST_PHOTOS = 200;

/** The services that know parts of a visit, in one place, so that a pack is made in one go. */
@Injectable()
export class CrewSources {
  constructor(
    readonly visits: VisitsService,
    readonly walk: InspectionWalkService,
    readonly catalogue: CatalogueService,
    readonly evidence: EvidenceService,
    readonly diagnosis: DiagnosisService,
    readonly claims: ClaimsService,
  ) {}
}

/** Makes what a phone takes along to a visit. */
@Injectable()
export class CrewPacks {
  constructor(
    private readonly from: CrewSources,
    private readonly clock: Clock,
  ) {}

  /** @throws Refused `not-found` for what lies outside the actor's tenant or visit */
  async pack(actor: Actor, visitId: string): Promise<CrewPack> {
    const visit = await this.from.visits.read(actor, visitId);
    const checklists: Record<string, Checklist> = {};
    const models: Record<string, EvidenceModel> = {};
    const units: CrewUnit[] = [];
    let bar: FindingBar | undefined;
    for (const unit of visit.units) {
      const { model } = await this.from.catalogue.read(actor, unit.sku);
      const checklist = await orNothing(() => this.from.walk.checklistOf(actor, visitId, unit.id));
      const ready = await orNothing(() => this.from.diagnosis.forUnit(actor, visitId, unit.id));
      if (checklist !== undefined) checklists[refOf(checklist)] = checklist;
      if (ready !== undefined) {
        models[model.evidenceModel] = withoutRemarks(ready.model);
        bar = ready.bar;
      }
      units.push({
        id: unit.id,
        sku: unit.sku,
        title: unit.title,
        serial: unit.serial,
        grossGrams: model.grossGrams,
        netGrams: model.netGrams,
        packingList: model.parts.map(({ number, component, pieces }) => ({ part: number, component, pieces })),
        partTitles: Object.fromEntries(model.parts.map(({ number, title }) => [number, title])),
        evidenceModel: model.evidenceModel,
        ...(checklist === undefined ? {} : { checklist: refOf(checklist) }),
      });
    }
    const inspections: KnownInspection[] = [];
    for (const row of await this.from.walk.ofVisit(actor, visitId))
      inspections.push(await this.known(actor, row.id, checklists));
    return {
      format: 'crew-pack/1',
      madeAt: this.clock.now().toString({ smallestUnit: 'millisecond' }),
      crew: actor.name,
      visit: crewVisit(visit),
      units,
      checklists,
      models,
      ...(bar === undefined ? {} : { bar }),
      inspections,
      claims: await this.claimsOf(actor, visit),
    };
  }

  private async known(actor: Actor, id: string, checklists: Record<string, Checklist>): Promise<KnownInspection> {
    const { row, located, answers, stops } = await this.from.walk.read(actor, id);
    const ref = refOf(located.checklist);
    if (located.state === 'open') checklists[ref] = located.checklist;
    const photos = await this.from.evidence.page(actor, id, undefined, MOST_PHOTOS);
    return {
      id,
      unit: located.unitId,
      checklist: ref,
      state: located.state,
      foundAt: row.foundAt,
      answers,
      stops: stops.map(({ stop, acknowledgedAt }) => ({ stop, acknowledged: acknowledgedAt !== null })),
      photos: photos.flatMap(({ row: { id: photo, item, shows, withdrawnAt } }) =>
        withdrawnAt === null ? [{ id: photo, item, shows }] : [],
      ),
    };
  }

  private async claimsOf(actor: Actor, { order, units }: VisitFacts): Promise<CrewPack['claims']> {
    const lines = await this.from.claims.page(actor, { order: 'newest', find: order.reference }, undefined, 50);
    return lines.flatMap(({ id, number, serial, orderReference }) =>
      number !== null && orderReference === order.reference && units.some((unit) => unit.serial === serial)
        ? [{ id, serial, number: showClaimNumber(number) }]
        : [],
    );
  }
}

function crewVisit(visit: VisitFacts): CrewVisit {
  const { address, receipt, deliveredAt } = visit;
  const { name, lines, place, postcode } = address;
  return {
    id: visit.id,
    order: visit.order.reference,
    retailer: visit.retailer.name,
    carrier: visit.carrier.name,
    address: [...(name === undefined ? [] : [name]), ...lines, `${place} ${postcode}`],
    zone: visit.zone,
    windowFrom: visit.windowFrom,
    windowTo: visit.windowTo,
    crewSize: visit.crewSize,
    receipt:
      receipt === null || deliveredAt === null ? null : { kind: receipt, words: visit.receiptWords, deliveredAt },
  };
}

function refOf({ id, version }: Checklist): string {
  return `${id}/${version}`;
}

/** What the numbers rest on is for analysts; a third of the bytes are saved. */
function withoutRemarks(model: EvidenceModel): EvidenceModel {
  return {
    ...model,
    basis: '',
    explanations: model.explanations.map(({ learnt: _learnt, ...each }) => ({ ...each, grounds: '' })),
    observations: model.observations.map(({ learnt: _learnt, ...each }) => ({ ...each, grounds: '' })),
  };
}

/** What is not published, or not allowed here, is left out of the pack: the visit goes on without it. */
async function orNothing<T>(read: () => Promise<T>): Promise<T | undefined> {
  try {
    return await read();
  } catch (error) {
    if (error instanceof Refused && error.code !== 'not-found') return undefined;
    throw error;
  }
}
