import { findings, nextChecks } from '../../../diagnosis/diagnosis.contract.js';
import { observationsFrom } from '../../../inspections/inspections.contract.js';
import type { Words } from '../../../kernel/vocabulary.js';
import type { Inspection } from './inspection.js';

/** A check that is worth the crew's time while they are there. */
export interface NextLook {
  readonly item: string;
  readonly says: Words;
  readonly seconds: number;
}

/** What the answers come to, worked out on the phone with the model that came in the pack. */
export interface LookAhead {
  /** The carrier may have caused it: carton and packing are evidence. */
  readonly carriage: boolean;
  readonly next: readonly NextLook[];
}

/** Below this nobody would look for a carrier. Common practice. */
const MAY_BE = 0.1;
const MOST = 10;

/** Undefined where the pack holds no evidence model for the unit. Items that were answered already, or are not asked, are left out. */
export function lookAhead({ visit, unit, checklist, walk }: Inspection): LookAhead | undefined {
  const { models, bar } = visit.pack;
  const model = models[unit.evidenceModel];
  if (model === undefined || bar === undefined) return undefined;
  const seen = observationsFrom(checklist, walk.answers, unit);
  const found = findings(model, seen, bar);
  const open = new Set(walk.asked.map(({ id }) => id));
  for (const { item, value } of walk.answers) if (value !== null) open.delete(item);
  const next = nextChecks(model, seen, bar, MOST).filter(({ item }) => open.has(item));
  return {
    carriage: found.some(({ origins }) =>
      origins.some(({ origin, probability }) => CARRIAGE.has(origin) && probability >= MAY_BE),
    ),
    next: next.map(({ item, says, effortSeconds }) => ({ item, says, seconds: Math.round(effortSeconds) })),
  };
}

const CARRIAGE: ReadonlySet<string> = new Set(['transit']);
