import { describe, expect, it } from 'vitest';
import type { Answer } from '../../inspections/inspections.contract.js';
import { type GatheredFacts, composeClaimFile } from './compose-claim-file.js';

function gathered(answers: readonly Answer[], more: Partial<GatheredFacts> = {}): GatheredFacts {
  return {
    number: '482177305',
    opening: {
      ground: 'damage',
      returnReason: null,
      wish: null,
      words: null,
      failedRepairs: 0,
      noticedAt: '2026-03-03T18:00:00Z',
      noticeToCarrierAt: null,
    },
    visit: {
      jurisdiction: 'US-CA',
      zone: 'America/Los_Angeles',
      retailer: 'Hollow Lane',
      carrier: 'Brightwater Haulage',
      order: {
        reference: 'HL-1',
        placedOn: '2026-02-20',
        currency: 'USD',
        priceMinor: 89_990,
        taxMinor: 7_424,
        deliveryMinor: 4_900,
      },
      receipt: null,
      receiptWords: null,
      deliveredAt: null,
      custody: [],
    },
    unit: { sku: 'X', serial: 'S1', maker: 'Ferrow' },
    documents: { checklist: 'bed-base/1', evidenceModel: 'bed-base/1', policy: 'us-powered-furniture/1' },
    inspection: { startedAt: '2026-03-03T17:40:00Z', crewSize: 2, foundAt: 'unboxing', answers },
    photos: [],
    supplied: {},
    happened: {},
    asOf: '2026-03-03T18:05:00Z',
    ...more,
  };
}

describe('the claim file that the service composes', () => {
  it('leaves unknown what nobody said', () => {
    const file = composeClaimFile(gathered([]));
    expect(file.delivery).toMatchObject({
      packaging: 'not known',
      impactIndicator: 'not known',
      tiltIndicator: 'not known',
    });
    expect(file.stepsFollowed).toBeNull();
    expect(file.events).toEqual({ noticed: '2026-03-03T18:00:00Z' });
    expect(file).not.toHaveProperty('wish');
  });

  it('does not take an answer that was not checked for a no', () => {
    const file = composeClaimFile(
      gathered([
        { item: 'packaging-kept', value: null },
        { item: 'steps-followed', value: null },
      ]),
    );
    expect(file.delivery.packaging).toBe('not known');
    expect(file.stepsFollowed).toBeNull();
  });

  it('reads delivery facts from the answers', () => {
    const file = composeClaimFile(
      gathered([
        { item: 'packaging-kept', value: 'no' },
        { item: 'receipt-kind', value: 'exceptions-noted' },
        { item: 'impact-indicator', value: ['tripped'] },
        { item: 'tilt-indicator', value: 'not-fitted' },
        { item: 'steps-followed', value: 'yes' },
      ]),
    );
    expect(file.delivery).toMatchObject({
      packaging: 'thrown away',
      receipt: 'exceptions noted',
      impactIndicator: 'tripped',
      tiltIndicator: 'not fitted',
    });
    expect(file.stepsFollowed).toBe(true);
  });

  it('lets the receipt on the visit win over the tick, and later facts over both', () => {
    const ticked = [{ item: 'receipt-kind', value: 'exceptions-noted' }];
    const visit = { ...gathered([]).visit, receipt: 'clean', deliveredAt: '2026-03-03T17:30:00Z' } as const;
    expect(composeClaimFile(gathered(ticked, { visit })).delivery.receipt).toBe('clean');
    const corrected = composeClaimFile(
      gathered(ticked, { visit, supplied: { receipt: 'refused', deliveredAt: '2026-03-03T16:00:00Z' } }),
    );
    expect(corrected.delivery.receipt).toBe('refused');
    expect(corrected.events.delivered).toBe('2026-03-03T16:00:00Z');
  });

  it('calls a unit opened only where somebody looked beyond the closed carton', () => {
    const closed = [
      { item: 'carton-marks', value: ['none'] },
      { item: 'packaging-kept', value: 'yes' },
      { item: 'frame-damage', value: null },
    ];
    const opened = (facts: GatheredFacts): boolean => composeClaimFile(facts).unit.opened;
    const { inspection } = gathered(closed);
    expect(opened(gathered(closed))).toBe(false);
    expect(opened(gathered(closed, { inspection: null }))).toBe(false);
    expect(opened(gathered([...closed, { item: 'frame-damage', value: ['none'] }]))).toBe(true);
    for (const foundAt of ['assembly', 'use'] as const) {
      expect(opened(gathered(closed, { inspection: inspection && { ...inspection, foundAt } }))).toBe(true);
    }
  });
});
