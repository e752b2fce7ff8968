import { may, type Actor } from '../../access/access.contract.js';
import { plainBody } from '../../platform/http/plain-body.js';
import type { Address, VisitFacts } from '../inspections.contract.js';
import type { VisitWish } from '../visits.service.js';
import type { VisitBody, VisitView } from './visit.dto.js';

/** A request body as a plan. */
export function toVisitWish(body: VisitBody): VisitWish {
  const wish: Omit<VisitWish, 'custody'> & Pick<VisitBody, 'custody'> = plainBody(body);
  return { ...wish, custody: wish.custody ?? [] };
}

/** A visit as somebody may see it: where exactly the door is, only analysts learn. */
export function toVisitView(actor: Actor, visit: VisitFacts): VisitView {
  const { receipt, receiptWords, deliveredAt, retailer, carrier, address, ...rest } = visit;
  return {
    ...rest,
    retailer: { code: retailer.code, name: retailer.name },
    carrier: { code: carrier.code, name: carrier.name },
    address: may(actor, 'exhibit.locate') ? address : withoutPosition(address),
    ...(receipt === null || deliveredAt === null
      ? {}
      : { receipt: { kind: receipt, ...(receiptWords === null ? {} : { words: receiptWords }), deliveredAt } }),
  };
}

function withoutPosition(address: Address): Address {
  const { latitude: _latitude, longitude: _longitude, ...rest } = address;
  return rest;
}
