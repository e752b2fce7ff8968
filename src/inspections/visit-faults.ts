import type { Fault } from '../kernel/outcome.js';
import type { Address, VisitOrder } from './inspections.contract.js';

interface TimesAndPlaces {
  readonly windowFrom: string;
  readonly windowTo: string;
  readonly zone: string;
  readonly order: VisitOrder;
  readonly address: Address;
}

/** What is wrong with the times and places of a visit, each field being well formed by itself. */
export function windowFaults(wish: TimesAndPlaces): Fault[] {
  const faults: Fault[] = [];
  const from = Temporal.Instant.from(wish.windowFrom);
  const to = Temporal.Instant.from(wish.windowTo);
  if (Temporal.Instant.compare(from, to) >= 0) {
    faults.push({ pointer: '#/windowTo', detail: 'The window must end after it begins.' });
  }
  const lastDay = to.toZonedDateTimeISO(wish.zone).toPlainDate();
  if (Temporal.PlainDate.compare(Temporal.PlainDate.from(wish.order.placedOn), lastDay) > 0) {
    faults.push({ pointer: '#/order/placedOn', detail: 'The order cannot be placed after the visit.' });
  }
  const { latitude, longitude } = wish.address;
  if ((latitude === undefined) !== (longitude === undefined)) {
    faults.push({ pointer: '#/address', detail: 'Give latitude and longitude together, or neither.' });
  }
  return faults;
}
