import {
  askedItems,
  owedPhotos,
  raisedStops,
  type Answer,
  type Checklist,
  type FoundAt,
  type RaisedStop,
} from '../../../inspections/inspections.contract.js';
import type { Walk } from '../../domain/walk-view.js';
import type { CrewUnit, KnownInspection } from '../../shared/crew-pack.js';
import type { HeldClaim, HeldFact, HeldPhoto, HeldVisit } from '../keep/database.js';

/** Everything on this phone that the screens show. */
export interface Shelf {
  readonly visits: readonly HeldVisit[];
  readonly facts: readonly HeldFact[];
  readonly photos: readonly HeldPhoto[];
  readonly claims: readonly HeldClaim[];
}

/** One inspection as it stands: what the service knew when the pack was made, and what has happened here since. */
export interface Inspection {
  readonly id: string;
  readonly visit: HeldVisit;
  readonly unit: CrewUnit;
  readonly checklist: Checklist;
  readonly foundAt: FoundAt;
  readonly walk: Walk;
  /** Ended: by the crew here, or as the service told. */
  readonly finished: boolean;
  /** Photos of this phone that were not taken back, in the order in which they were taken. */
  readonly photos: readonly HeldPhoto[];
  /** How many photos other phones have sent. */
  readonly elsewhere: number;
  readonly claim: HeldClaim | undefined;
}

/** Inspections of a visit, those of other phones included, in no particular order. */
export function inspectionsOf(shelf: Shelf, visitId: string): Inspection[] {
  const visit = shelf.visits.find(({ id }) => id === visitId);
  if (visit === undefined) return [];
  const known = visit.pack.inspections.map(({ id }) => id);
  const begun = shelf.facts.flatMap(({ kind, visit: of, inspection }) =>
    kind === 'begin' && of === visitId && inspection !== undefined ? [inspection] : [],
  );
  return [...new Set([...known, ...begun])].flatMap((id) => {
    const one = inspection(shelf, id);
    return one === undefined ? [] : [one];
  });
}

/** One inspection; undefined where this phone does not hold it, or not the checklist it was begun with. */
export function inspection(shelf: Shelf, id: string): Inspection | undefined {
  const facts = shelf.facts.filter((fact) => fact.inspection === id).toSorted((a, b) => a.n - b.n);
  const visit = shelf.visits.find(
    (held) => facts.some((fact) => fact.visit === held.id) || held.pack.inspections.some((each) => each.id === id),
  );
  if (visit === undefined) return undefined;
  const known = visit.pack.inspections.find((each) => each.id === id);
  const begin = facts.find(({ kind }) => kind === 'begin');
  const unit = visit.pack.units.find((each) => each.id === known?.unit || each.serial === begin?.body['serial']);
  const ref = known?.checklist ?? textOf(begin, 'checklist');
  const checklist = visit.pack.checklists[ref ?? ''];
  if (unit === undefined || checklist === undefined) return undefined;
  const answers = currentAnswers(known, facts);
  const photos = shelf.photos.filter((photo) => photo.inspection === id && photo.state !== 'withdrawn');
  const own = new Set(shelf.photos.map((photo) => photo.id));
  const others = (known?.photos ?? []).filter((photo) => !own.has(photo.id));
  return {
    id,
    visit,
    unit,
    checklist,
    foundAt: known?.foundAt ?? ((textOf(begin, 'foundAt') ?? 'unboxing') as FoundAt),
    walk: {
      checklist,
      unit,
      asked: askedItems(checklist, answers, unit),
      answers,
      owed: owedPhotos(checklist, answers, unit, [...photos, ...others]),
      stops: currentStops(known, facts),
    },
    finished: known?.state === 'finished' || facts.some(({ kind }) => kind === 'complete'),
    photos: photos.toSorted((a, b) => a.at - b.at),
    elsewhere: others.length,
    claim: shelf.claims.find((claim) => claim.inspection === id),
  };
}

/** The stops that a new answer raises and that stand for nobody yet. */
export function freshStops(of: Inspection, answer: Answer): string[] {
  const answers = [...of.walk.answers.filter(({ item }) => item !== answer.item), answer];
  const before = new Set(of.walk.stops.map(({ stop }) => stop));
  return raisedStops(of.checklist, answers, of.unit)
    .map(({ id }) => id)
    .filter((id) => !before.has(id));
}

/** Of one phone the answer that it counted last stands; what was known before comes first. */
function currentAnswers(known: KnownInspection | undefined, facts: readonly HeldFact[]): Answer[] {
  const newest = new Map<string, Answer>((known?.answers ?? []).map((answer) => [answer.item, answer]));
  for (const { kind, body } of facts)
    if (kind === 'answer') newest.set(String(body['item']), body as unknown as Answer);
  return [...newest.values()];
}

/** A stop is a union: whoever raised it, it stands until somebody has seen to it. */
function currentStops(known: KnownInspection | undefined, facts: readonly HeldFact[]): RaisedStop[] {
  const stops = new Map<string, RaisedStop>();
  for (const { stop, acknowledged } of known?.stops ?? []) stops.set(stop, stopOf(stop, '', acknowledged ? '' : null));
  for (const { kind, body, at } of facts) {
    const stop = String(body['stop']);
    if (kind === 'stop' && !stops.has(stop)) stops.set(stop, stopOf(stop, at, null));
    if (kind === 'acknowledge') stops.set(stop, stopOf(stop, stops.get(stop)?.raisedAt ?? at, at));
  }
  return [...stops.values()];
}

function stopOf(stop: string, raisedAt: string, acknowledgedAt: string | null): RaisedStop {
  return { stop, raisedAt, acknowledgedAt, acknowledgedBy: acknowledgedAt === null ? null : 'here' };
}

function textOf(fact: HeldFact | undefined, name: string): string | undefined {
  const value = fact?.body[name];
  return typeof value === 'string' ? value : undefined;
}
