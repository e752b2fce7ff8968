import type { ClaimFile } from '../../src/adjudication/adjudication.contract.js';

/** Photos of a claim, by checklist item and what they show. */
export function photosOf(...shown: readonly (readonly [item: string, shows: string])[]): ClaimFile['photos'] {
  return shown.map(([item, shows], index) => ({
    id: `p${index + 1}`,
    item,
    shows,
    file: `photos/p${index + 1}.jpg`,
    sha256: String(index + 1).padStart(64, '0'),
  }));
}

/** A complete claim file: a desk whose frame was bent and whose carton was crushed, noted on the receipt. */
export function aClaimFile(changes: Partial<ClaimFile> = {}): ClaimFile {
  return {
    format: 'claim/1',
    title: 'Desk frame bent, carton crushed',
    jurisdiction: 'US-OH',
    zone: 'America/New_York',
    ground: 'damage',
    documents: { checklist: 'standing-desk/1', evidenceModel: 'standing-desk/1', policy: 'us-powered-furniture' },
    parties: { retailer: 'Marlow and Finch', carrier: 'Ridgeway Lines', maker: 'Keplar Works' },
    order: {
      reference: 'A-1001',
      placedOn: '2026-02-20',
      currency: 'USD',
      priceMinor: 89_990,
      taxMinor: 7_424,
      deliveryMinor: 4_900,
    },
    unit: { sku: 'KEP-ROSTRUM-60-US', serial: 'KR20260117', opened: true },
    delivery: {
      receipt: 'exceptions noted',
      receiptWords: '1 carton, face crushed',
      foundAt: 'unboxing',
      packaging: 'kept',
      impactIndicator: 'tripped',
      tiltIndicator: 'intact',
      custody: [
        { stage: 'packed', party: 'maker', condition: 'clean' },
        { stage: 'stored', party: 'seller', condition: 'clean' },
        { stage: 'line haul', party: 'carrier', condition: 'not known' },
        { stage: 'last mile', party: 'carrier', condition: 'exceptions', at: '2026-03-04T08:00:00-05:00' },
      ],
    },
    events: {
      delivered: '2026-03-04T10:10:00-05:00',
      noticed: '2026-03-04T10:40:00-05:00',
      'notice to carrier': '2026-03-05T09:00:00-05:00',
      filed: '2026-03-05T09:30:00-05:00',
    },
    inspection: {
      startedAt: '2026-03-04T10:20:00-05:00',
      crewSize: 2,
      answers: [
        { item: 'crew-size', value: 2 },
        { item: 'time-in-use', value: ['new-today'] },
        { item: 'carton-marks', value: ['face-crushed'], note: 'long side' },
        { item: 'impact-indicator', value: ['tripped'] },
        { item: 'tilt-indicator', value: ['intact'] },
        { item: 'inner-packing', value: ['broken'] },
        { item: 'serial', value: 'KR20260117' },
        { item: 'frame-damage', value: ['bent'] },
        { item: 'damage-lines-up', value: 'yes' },
        { item: 'desk-level', value: null },
      ],
    },
    photos: photosOf(
      ['carton-marks', 'close'],
      ['carton-marks', 'wide'],
      ['inner-packing', 'wide'],
      ['inner-packing', 'close'],
      ['impact-indicator', 'close'],
      ['frame-damage', 'wide'],
      ['frame-damage', 'close'],
      ['damage-lines-up', 'wide'],
    ),
    stepsFollowed: null,
    failedRepairs: 0,
    wish: 'part',
    asOf: '2026-03-06T12:00:00Z',
    ...changes,
  };
}

/** The JSON of a claim file with one place changed; undefined takes the member away. The path is dotted: `order.priceMinor`, `photos.0.id`. */
export function claimJsonWith(path: string, value: unknown): unknown {
  const json = JSON.parse(JSON.stringify(aClaimFile())) as Record<string, unknown>;
  const steps = path === '' ? [] : path.split('.');
  const last = steps.pop();
  if (last === undefined) return value;
  const place = steps.reduce<Record<string, unknown>>((at, step) => at[step] as Record<string, unknown>, json);
  if (value === undefined) delete place[last];
  else place[last] = value;
  return json;
}
