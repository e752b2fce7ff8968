import type { EvidenceModel, ObservationModel } from '../../diagnosis/diagnosis.contract.js';
import type { Answer, Checklist, ChecklistItem, Observations } from '../../inspections/inspections.contract.js';

/** `strong`: every demanded photo is there and the scanned serial matches; `weak`: no photo at all; otherwise `fair`. */
export type EvidenceGrade = 'strong' | 'fair' | 'weak';

/** What a grade is worked out from. */
export interface EvidenceAtHand {
  /** Items whose photos bear on the matter. */
  readonly items: ReadonlySet<string>;
  readonly photos: readonly { readonly item: string; readonly shows: string }[];
  /** Photos that asked items demand and that are not there. */
  readonly owed: readonly { readonly item: string; readonly demand: string }[];
  readonly serialMatches: boolean;
}

/** Grade of the evidence for one matter. Without a single photo it is weak, whatever was or was not demanded. */
export function evidenceGrade(evidence: EvidenceAtHand): EvidenceGrade {
  const { items, photos, owed, serialMatches } = evidence;
  if (!photos.some(({ item }) => items.has(item))) return 'weak';
  return serialMatches && !owed.some(({ item }) => items.has(item)) ? 'strong' : 'fair';
}

/** The checklist items behind the present observations that inform a subject. */
export function itemsBehind(model: EvidenceModel, subject: string, observations: Observations): Set<string> {
  const present = new Set(observations.present);
  return new Set(informing(model, subject).flatMap(({ id, item }) => (present.has(id) ? [item] : [])));
}

/** Observations that inform each subject of a model. Published models never change, so each is gone through once. */
const INFORMING = new WeakMap<EvidenceModel, Map<string, readonly ObservationModel[]>>();

function informing(model: EvidenceModel, subject: string): readonly ObservationModel[] {
  const bySubject = INFORMING.get(model) ?? new Map<string, readonly ObservationModel[]>();
  INFORMING.set(model, bySubject);
  const known = bySubject.get(subject);
  if (known !== undefined) return known;
  const explanations = new Set(model.explanations.filter((e) => e.subject === subject).map(({ id }) => id));
  const opens = new Set(model.subjects.find(({ id }) => id === subject)?.opensOn);
  const fresh = model.observations.filter(
    (observation) =>
      opens.has(observation.id) ||
      observation.otherwise[subject] !== undefined ||
      Object.keys(observation.likelihoods).some((id) => explanations.has(id)),
  );
  bySubject.set(subject, fresh);
  return fresh;
}

/** Whether a serial was scanned and is the unit's own. Nothing scanned is not a match. */
export function scannedSerialMatches(
  asked: readonly ChecklistItem[],
  answers: readonly Answer[],
  serial: string,
): boolean {
  const scans = new Set(
    asked.filter(({ answer }) => answer.type === 'scan' && answer.of === 'serial').map(({ id }) => id),
  );
  const scanned = answers.filter(({ item, value }) => scans.has(item) && value !== null);
  return (
    scanned.length > 0 && scanned.every(({ value }) => typeof value === 'string' && plain(value) === plain(serial))
  );
}

/** Scanners add blanks and people type small letters; the checklist's own comparison forgives the same. */
function plain(text: string): string {
  return text.trim().toUpperCase();
}

/** The items of a checklist that count pieces against the packing list. */
export function countItems(checklist: Checklist): ReadonlySet<string> {
  const known = COUNT_ITEMS.get(checklist);
  if (known !== undefined) return known;
  const items = checklist.sections.flatMap((section) => section.items);
  const fresh = new Set(items.filter(({ answer }) => answer.type === 'count').map(({ id }) => id));
  COUNT_ITEMS.set(checklist, fresh);
  return fresh;
}

/** Published checklists never change, so each is gone through once. */
const COUNT_ITEMS = new WeakMap<Checklist, ReadonlySet<string>>();

/** Pieces found by part number, over every count that the crew made; a part counted twice keeps the later count. */
export function countedPieces(counts: ReadonlySet<string>, answers: readonly Answer[]): Record<string, number> {
  const found: Record<string, number> = Object.create(null) as Record<string, number>;
  for (const { item, value } of answers) {
    if (!counts.has(item) || value === null || typeof value !== 'object' || Array.isArray(value)) continue;
    Object.assign(found, value);
  }
  return found;
}
