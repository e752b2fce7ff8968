import { pointer, type Fault } from '../../kernel/outcome.js';
import { compareInstants, instantOf, localDate } from '../../kernel/days.js';
import type { ClaimFile } from '../adjudication.contract.js';
import { MOST_MINOR } from './read-values.js';

/**
 * What contradicts itself in a claim file whose parts are each well formed. Also asked for claims that the service put together
 * itself, which no reader of files has seen: hence the price, which a reader would have refused.
 */
export function claimFileFaults(claim: ClaimFile): Fault[] {
  return [
    ...orderFaults(claim.order),
    ...returnFaults(claim),
    ...timeFaults(claim),
    ...repeated(claim.inspection.answers, '#/inspection/answers', 'item', (item) => `"${item}" is answered twice.`),
    ...repeated(claim.photos, '#/photos', 'id', (id) => `Two photos have the id "${id}".`),
    ...(claim.model && claim.model.sku !== claim.unit.sku
      ? [fault('#/model/sku', `The model is ${claim.model.sku} but the unit is ${claim.unit.sku}.`)]
      : []),
  ];
}

function orderFaults(order: ClaimFile['order']): Fault[] {
  const faults = order.priceMinor > 0 ? [] : [fault('#/order/priceMinor', 'The price paid must be above 0.')];
  for (const name of ['priceMinor', 'taxMinor', 'deliveryMinor'] as const) {
    const wrong = amountFault(order[name]);
    if (wrong !== undefined && faults.length === 0) faults.push(fault(`#/order/${name}`, wrong));
  }
  return faults;
}

/** Why an amount cannot be worked with exactly, as a sentence; undefined where it can. Sums of many such amounts still fit 2^53. */
export function amountFault(minor: number): string | undefined {
  if (Number.isSafeInteger(minor) && minor >= 0 && minor <= MOST_MINOR) return undefined;
  return `The amount ${minor} is not a whole number of minor units from 0 to ${MOST_MINOR}; check it.`;
}

function returnFaults(claim: ClaimFile): Fault[] {
  if (claim.ground === 'return' && claim.returnReason === undefined) {
    return [fault('#/returnReason', 'A return needs its reason: change of mind, or wrong item.')];
  }
  if (claim.ground !== 'return' && claim.returnReason !== undefined) {
    return [fault('#/returnReason', `Only a return has a reason for return; this claim's ground is ${claim.ground}.`)];
  }
  return [];
}

function timeFaults(claim: ClaimFile): Fault[] {
  const { events } = claim;
  const unreadable = unreadableTimes(claim);
  if (unreadable.length > 0) return unreadable;
  const delivered = events.delivered;
  if (delivered === undefined) {
    return [fault('#/events/delivered', 'Say when the goods were delivered, or when delivery was refused.')];
  }
  const faults: Fault[] = [];
  for (const later of ['filed', 'goods returned', 'refund agreed'] as const) {
    const at = events[later];
    if (at !== undefined && isAfter(delivered, at)) {
      faults.push(fault(`#/events/${later}`, `"${later}" lies before the delivery at ${delivered}.`));
    }
  }
  // Damage is often seen, and the driver told, minutes before the receipt is signed: only an earlier day is a contradiction.
  const deliveredOn = localDate(delivered, claim.zone);
  for (const later of ['noticed', 'notice to carrier'] as const) {
    const at = events[later];
    if (at !== undefined && Temporal.PlainDate.compare(localDate(at, claim.zone), deliveredOn) < 0) {
      faults.push(fault(`#/events/${later}`, `"${later}" lies on a day before the delivery at ${delivered}.`));
    }
  }
  if (Temporal.PlainDate.compare(Temporal.PlainDate.from(claim.order.placedOn), deliveredOn) > 0) {
    faults.push(fault('#/order/placedOn', 'The order was placed after the delivery.'));
  }
  if (isAfter(delivered, claim.asOf)) {
    faults.push(fault('#/asOf', `The claim is judged as of ${claim.asOf}, before the delivery at ${delivered}.`));
  }
  return faults;
}

/** Instants that are none, and a zone that no place has: nothing else can be said of such a claim's times. */
function unreadableTimes(claim: ClaimFile): Fault[] {
  const times = [...Object.entries(claim.events).map(([name, at]) => [`#/events/${name}`, at]), ['#/asOf', claim.asOf]];
  const faults = times.flatMap(([at = '', text = '']) =>
    isReadable(() => instantOf(text)) ? [] : [fault(at, `"${text}" is not an instant with its offset.`)],
  );
  if (faults.length > 0 || isReadable(() => localDate(claim.asOf, claim.zone))) return faults;
  return [fault('#/zone', `"${claim.zone}" is not a time zone such as America/Chicago.`)];
}

function isReadable(read: () => unknown): boolean {
  try {
    read();
    return true;
  } catch {
    return false;
  }
}

function isAfter(a: string, b: string): boolean {
  return compareInstants(a, b) > 0;
}

function repeated<K extends string>(
  entries: readonly Readonly<Record<K, string>>[],
  at: string,
  key: K,
  says: (value: string) => string,
): Fault[] {
  const seen = new Set<string>();
  const faults: Fault[] = [];
  entries.forEach((entry, index) => {
    const value = entry[key];
    if (seen.has(value)) faults.push(fault(pointer(pointer(at, index), key), says(value)));
    seen.add(value);
  });
  return faults;
}

function fault(at: string, detail: string): Fault {
  return { pointer: at, detail };
}
