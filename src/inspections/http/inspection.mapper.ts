import { plainBody } from '../../platform/http/plain-body.js';
import type { InspectionStart, NextStep, WalkState } from '../inspection-walk.service.js';
import type { Checklist, ChecklistItem, OwedPhoto, RaisedStop } from '../inspections.contract.js';
import { itemsOf } from '../inspections.contract.js';
import type { InspectionRow } from '../store/inspection.entity.js';
import type {
  InspectionBody,
  InspectionSummary,
  InspectionView,
  NextStepView,
  OwedPhotoView,
  StopView,
} from './inspection.dto.js';

/** A request body as a beginning. Ids are compared in lower case. */
export function toStart(body: InspectionBody): InspectionStart {
  const start: InspectionStart = plainBody(body);
  return { ...start, id: start.id.toLowerCase() };
}

/** An inspection as a list shows it. */
export function toInspectionSummary(row: InspectionRow): Readonly<InspectionSummary> {
  return {
    id: row.id,
    visit: row.visitId,
    state: row.finishedAt === null ? 'open' : 'finished',
    startedAt: row.startedAt,
    ...(row.finishedAt === null ? {} : { finishedAt: row.finishedAt }),
    unitId: row.unitId,
    ...(row.gapsReason === null ? {} : { gapsReason: row.gapsReason }),
    crewSize: row.crewSize,
    foundAt: row.foundAt,
    version: row.version,
  };
}

/** An inspection with everything a phone needs to go on. */
export function toInspectionView(state: WalkState): InspectionView {
  const { checklist, unit, unitId } = state.located;
  return {
    ...toInspectionSummary(state.row),
    unit: { id: unitId, serial: unit.serial, packingList: unit.packingList },
    checklist: {
      code: checklist.id,
      version: checklist.version,
      title: checklist.title,
      cautions: checklist.cautions,
    },
    asked: state.asked.map((item) => withSection(checklist, item)),
    answers: state.answers,
    owedPhotos: state.owed.map((owed) => toOwedPhoto(checklist, owed)),
    stops: state.stops.map((stop) => toStop(checklist, stop)),
  };
}

/** What comes next, with the words that go with it. */
export function toNextStep(state: WalkState, step: NextStep): NextStepView {
  const { checklist } = state.located;
  switch (step.kind) {
    case 'stop': {
      const raised = state.stops.find((each) => each.stop === step.stop);
      return { kind: 'stop', ...(raised === undefined ? {} : { stop: toStop(checklist, raised) }) };
    }
    case 'item':
      return {
        kind: 'item',
        item: withSection(checklist, step.item),
        informs: [...new Set((step.item.yields ?? []).map((each) => each.observation))],
      };
    case 'photos':
      return { kind: 'photos', owedPhotos: step.owed.map((owed) => toOwedPhoto(checklist, owed)) };
    case 'done':
      return { kind: 'done' };
  }
}

/** A stop with its words. */
export function toStop(checklist: Checklist, raised: RaisedStop): StopView {
  const known = checklist.stops.find((stop) => stop.id === raised.stop);
  return {
    stop: raised.stop,
    says: known?.says ?? { en: raised.stop },
    do: known?.do ?? [],
    raisedAt: raised.raisedAt,
    ...(raised.acknowledgedAt === null ? {} : { acknowledgedAt: raised.acknowledgedAt }),
    ...(raised.acknowledgedBy === null ? {} : { acknowledgedBy: raised.acknowledgedBy }),
  };
}

function toOwedPhoto(checklist: Checklist, owed: OwedPhoto): OwedPhotoView {
  const item = itemsOf(checklist).find((each) => each.id === owed.item);
  const demand = item?.photos?.find((each) => each.id === owed.demand);
  return { ...owed, ...(demand === undefined ? {} : { says: demand.says }) };
}

function withSection(checklist: Checklist, item: ChecklistItem): ChecklistItem & { readonly section: string } {
  const section = checklist.sections.find((each) => each.items.some((one) => one.id === item.id));
  return { ...item, section: section?.id ?? '' };
}
