import type { ReactNode } from 'react';
import { RECEIPT_WORDS, sentenceCase } from '../../domain/trade-words.js';
import { showTime, showWindow } from '../../domain/time-words.js';
import type { CaseData } from '../../case-data.js';
import { Facts } from '../parts/parts.js';

/** The order, the unit, the delivery. */
export function Delivery({ view: { visit, line, claim, assessment } }: { readonly view: CaseData }): ReactNode {
  const { order } = visit;
  return (
    <section className="sheet" id="delivery">
      <h2>Unit and delivery</h2>
      <Facts
        of={[
          ['Unit', `${line.model} · ${line.serial}`],
          ['Order', `${order.reference}, placed ${order.placedOn}`],
          ['Retailer', visit.retailer.name],
          ['Carrier', visit.carrier.name],
          [
            'Address',
            [...visit.address.lines, visit.address.place, visit.address.postcode, visit.address.country].join(', '),
          ],
          [
            'Position',
            visit.address.latitude === undefined ? null : `${visit.address.latitude}, ${visit.address.longitude ?? ''}`,
          ],
          ['Window', `${showWindow(visit.windowFrom, visit.windowTo, visit.zone)} (${visit.zone})`],
          ['Receipt', visit.receipt === null ? 'None on record' : RECEIPT_WORDS[visit.receipt]],
          ['Words on it', visit.receiptWords],
          ['Handed over', visit.deliveredAt === null ? null : showTime(visit.deliveredAt, visit.zone)],
          ['First noticed', showTime(claim.noticedAt, visit.zone)],
          ['Customer’s wish', claim.wish === null ? null : sentenceCase(claim.wish)],
          ['Claim in words', claim.words],
          [
            'Safety stops',
            assessment === undefined || assessment.safetyStops.length === 0 ? null : assessment.safetyStops.join(', '),
          ],
        ]}
      />
    </section>
  );
}
