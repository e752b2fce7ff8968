/** Where a unit that came back goes. Used bedding and upholstery are never restocked without clearance under local law. */
export const DISPOSITIONS = ['restock', 'part out', 'refurbish', 'salvage', 'dispose'] as const;
export type Disposition = (typeof DISPOSITIONS)[number];

/** How a returned unit was found on receipt. */
export const GRADES = ['unopened', 'as new', 'used', 'damaged'] as const;
export type Grade = (typeof GRADES)[number];

export { returnWindow } from './domain/return-window.js';
export type { ReturnWindow } from './domain/return-window.js';
