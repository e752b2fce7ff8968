import type { Checklist } from '../../inspections/inspections.contract.js';
import type { CrewPack, KnownInspection } from '../shared/crew-pack.js';
import type { PreviewPlace, PreviewShow } from '../shared/preview-message.js';

/** Ids within the preview; nothing outside it has them. */
export const VISIT = 'preview';
export const INSPECTION = 'preview-inspection';

/** Address of the screen before the first check. */
export function beginning(unit: string): string {
  return `/crew/visits/${VISIT}/begin?unit=${unit}`;
}

/** Address of a check; without one, of the first that has no answer. */
export function checkAt(item?: string): string {
  return `/crew/inspections/${INSPECTION}${item === undefined ? '' : `?check=${item}`}`;
}

const HOURS_MS = 4 * 60 * 60 * 1000;

/**
 * A visit that brings one unit, with the checklist as it stands at the desk.
 * @param place where the crew is; a place in the checklist comes with an inspection that has come so far
 * @param now milliseconds since 1970
 */
export function packOf(told: PreviewShow, place: PreviewPlace, now: number): CrewPack {
  const { checklist, unit } = told;
  const ref = `${checklist.id}/${checklist.version}`;
  return {
    format: 'crew-pack/1',
    madeAt: new Date(now).toISOString(),
    crew: 'preview',
    visit: {
      id: VISIT,
      order: 'EXAMPLE-1',
      retailer: 'Example',
      carrier: 'Example',
      address: ['Example Street 1', 'Example'],
      zone: 'UTC',
      windowFrom: new Date(now).toISOString(),
      windowTo: new Date(now + HOURS_MS).toISOString(),
      crewSize: 2,
      receipt: null,
    },
    units: [{ ...unit, checklist: ref }],
    checklists: { [ref]: checklist },
    models: {},
    inspections: place.at === 'beginning' ? [] : [known(checklist, unit.id, place)],
    claims: [],
  };
}

function known(
  { id, version }: Checklist,
  unit: string,
  place: Exclude<PreviewPlace, { readonly at: 'beginning' }>,
): KnownInspection {
  return {
    id: INSPECTION,
    unit,
    checklist: `${id}/${version}`,
    state: 'open',
    foundAt: 'unboxing',
    answers: place.at === 'check' ? place.answers : [],
    stops: place.at === 'stop' ? [{ stop: place.stop, acknowledged: false }] : [],
    photos: [],
  };
}
