import type { WalkState } from '../inspections/inspection-walk.service.js';
import type { Walk } from './domain/walk-view.js';

/** A walk as pages read it. */
export function walkOf({ asked, answers, owed, stops, located }: WalkState): Walk {
  return { checklist: located.checklist, unit: located.unit, asked, answers, owed, stops };
}
