import type { Answer, Checklist } from '../../inspections/inspections.contract.js';
import type { CrewUnit } from './crew-pack.js';

/** What the desk tells the preview of a checklist to show. */
export interface PreviewShow {
  readonly kind: 'show';
  readonly checklist: Checklist;
  readonly unit: CrewUnit;
  readonly lang: 'en' | 'es';
  /** Where to go; absent: what is shown stays, in the new words. */
  readonly to?: PreviewPlace;
}

/** A place in a checklist, with the answers that lead there. */
export type PreviewPlace =
  | { readonly at: 'beginning' }
  | { readonly at: 'check'; readonly item: string; readonly answers: readonly Answer[] }
  | { readonly at: 'stop'; readonly stop: string };

/** What the preview tells the desk. */
export type PreviewTold =
  | { readonly kind: 'ready' }
  /** Which check is on the screen; null for a screen without one. */
  | { readonly kind: 'shown'; readonly item: string | null; readonly lang: 'en' | 'es' };
