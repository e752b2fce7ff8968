/** The trade's words as closed lists. One spelling for tables, types, API and screens; docs/words.md defines each. */

export const COMPONENTS = ['carton', 'frame', 'leg', 'motor', 'electronics'] as const;
export type Component = (typeof COMPONENTS)[number];

export const PARTIES = ['maker', 'seller', 'carrier', 'crew', 'customer'] as const;
export type Party = (typeof PARTIES)[number];

export const ORIGINS = [
  'manufacture',
  'packing',
  'storage',
  'transit',
  'unboxing',
  'assembly',
  'use',
  'wear',
  'none found',
] as const;
export type Origin = (typeof ORIGINS)[number];

/** Custody stages in the order in which goods pass through them. */
export const STAGES = [
  'made',
  'packed',
  'stored',
  'line haul',
  'cross-dock',
  'last mile',
  'opened',
  'assembled',
  'in use',
] as const;
export type Stage = (typeof STAGES)[number];

export const GROUNDS = ['damage', 'dead on arrival', 'shortage', 'warranty', 'return'] as const;
export type Ground = (typeof GROUNDS)[number];

export const RECEIPTS = ['clean', 'exceptions noted', 'refused', 'no signature'] as const;
export type Receipt = (typeof RECEIPTS)[number];

export const REMEDIES = ['refund', 'allowance', 'part', 'unit', 'visit', 'none'] as const;
export type Remedy = (typeof REMEDIES)[number];

export const FAMILIES = ['powered bed base', 'height-adjustable desk', 'lift chair'] as const;
export type Family = (typeof FAMILIES)[number];

/** What was seen of one fact. `not checked` is never guessed from the other two. */
export const SIGHTINGS = ['present', 'absent', 'not checked'] as const;
export type Sighting = (typeof SIGHTINGS)[number];

export const CLAIM_STATES = [
  'draft',
  'filed',
  'assessing',
  'needs information',
  'proposed',
  'decided',
  'settling',
  'settled',
  'closed',
  'withdrawn',
] as const;
export type ClaimState = (typeof CLAIM_STATES)[number];

export const ROLES = ['crew', 'analyst', 'retailer', 'policy owner', 'administrator'] as const;
export type Role = (typeof ROLES)[number];

/** A sentence for people; English always, other languages where someone has written them. */
export interface Words {
  readonly en: string;
  readonly es?: string;
}
