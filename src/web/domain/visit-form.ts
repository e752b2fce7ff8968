import { minorDigits } from '../../kernel/currency.js';
import type { Fault } from '../../kernel/outcome.js';
import { moneyExample, readMoney } from './money-words.js';
import { readLocal } from './time-words.js';

/** In which condition the carrier took the goods over. */
export const TAKEN_OVER = ['clean', 'exceptions', 'not known'] as const;

/** A visit as the interface takes it; amounts in minor units of the currency, instants as RFC 3339. */
export interface VisitPlan {
  readonly retailer: string;
  readonly carrier: string;
  readonly order: {
    readonly reference: string;
    readonly placedOn: string;
    readonly currency: string;
    readonly priceMinor: number;
    readonly taxMinor: number;
    readonly deliveryMinor: number;
  };
  readonly address: {
    readonly lines: readonly string[];
    readonly place: string;
    readonly postcode: string;
    readonly country: string;
  };
  readonly zone: string;
  readonly windowFrom: string;
  readonly windowTo: string;
  readonly crewSize: number;
  readonly custody: readonly [{ readonly stage: 'packed'; readonly party: 'maker'; readonly condition: string }];
  readonly units: readonly { readonly sku: string; readonly serial: string }[];
}

/** Text of the form's fields by their names. */
export type Typed = Readonly<Record<string, string>>;

/**
 * Reads what was typed into the form for a visit.
 * @param rows keys of the lines for units, in their order; their fields are `sku-KEY` and `serial-KEY`
 * @returns the plan, or every fault at once with the name of its field as pointer
 */
export function readVisit(
  typed: Typed,
  rows: readonly string[],
): { readonly plan: VisitPlan } | { readonly faults: readonly Fault[] } {
  const read = new Reading(typed);
  const currency = read.like('currency', 'The currency', /^[A-Za-z]{3}$/, 'three letters like USD').toUpperCase();
  const zone = read.zone('zone', 'The time zone');
  const plan: VisitPlan = {
    retailer: read.needed('retailer', 'The retailer'),
    carrier: read.needed('carrier', 'The carrier'),
    order: {
      reference: read.needed('reference', 'The order number'),
      placedOn: read.date('placedOn', 'The day of the order'),
      currency,
      priceMinor: read.money('price', 'The price', currency),
      taxMinor: read.money('tax', 'The tax', currency),
      deliveryMinor: read.money('delivery', 'The delivery fee', currency),
    },
    address: {
      lines: [read.needed('street', 'Street and number')],
      place: read.needed('place', 'The town'),
      postcode: read.needed('postcode', 'The postcode'),
      country: read
        .like('country', 'The country', /^[A-Za-z]{2}(-[A-Za-z0-9]{1,3})?$/, 'like DE or US-OH')
        .toUpperCase(),
    },
    zone,
    windowFrom: read.local('from', 'The beginning of the window', zone),
    windowTo: read.local('to', 'The end of the window', zone),
    crewSize: Number(read.like('crewSize', 'The number of people', /^([1-9]|10)$/, 'a whole number from 1 to 10')),
    custody: [
      {
        stage: 'packed',
        party: 'maker',
        condition: TAKEN_OVER.find((each) => each === typed['condition']) ?? 'not known',
      },
    ],
    units: read.units(rows),
  };
  return read.faults.length > 0 ? { faults: read.faults } : { plan };
}

/** Where the service points to, as the form calls it. */
const FIELDS: Readonly<Record<string, string>> = {
  '#/retailer': 'retailer',
  '#/carrier': 'carrier',
  '#/order/reference': 'reference',
  '#/order/placedOn': 'placedOn',
  '#/order/currency': 'currency',
  '#/order/priceMinor': 'price',
  '#/order/taxMinor': 'tax',
  '#/order/deliveryMinor': 'delivery',
  '#/address/lines': 'street',
  '#/address/place': 'place',
  '#/address/postcode': 'postcode',
  '#/address/country': 'country',
  '#/zone': 'zone',
  '#/windowFrom': 'from',
  '#/windowTo': 'to',
  '#/crewSize': 'crewSize',
};

/**
 * A fault of the interface at the field of the form that it is about.
 * @param sent keys of the lines for units that were sent, in their order
 */
export function faultInForm(fault: Fault, sent: readonly string[]): Fault {
  const unit = /^#\/units\/(\d+)(?:\/(sku|serial))?$/.exec(fault.pointer);
  const name =
    unit === null
      ? FIELDS[fault.pointer.replace(/^(#\/address\/lines)\/\d+$/, '$1')]
      : `${unit[2] ?? 'sku'}-${sent[Number(unit[1])] ?? sent[0] ?? ''}`;
  return name === undefined ? fault : { pointer: `#/${name}`, detail: fault.detail };
}

/** The lines for units in which something stands: the others are not sent. */
export function rowsInUse(typed: Typed, rows: readonly string[]): readonly string[] {
  return rows.filter((row) => word(typed, `sku-${row}`) !== '' || word(typed, `serial-${row}`) !== '');
}

function word(typed: Typed, name: string): string {
  return typed[name]?.trim() ?? '';
}

class Reading {
  readonly faults: Fault[] = [];

  constructor(private readonly typed: Typed) {}

  needed(name: string, what: string): string {
    const value = word(this.typed, name);
    if (value === '') this.fault(name, `${what} is missing.`);
    return value;
  }

  like(name: string, what: string, pattern: RegExp, example: string): string {
    const value = this.needed(name, what);
    if (value !== '' && !pattern.test(value)) this.fault(name, `${what} must be ${example}.`);
    return value;
  }

  date(name: string, what: string): string {
    const value = this.needed(name, what);
    if (value !== '' && (!/^\d{4}-\d\d-\d\d$/.test(value) || readLocal(`${value}T00:00`, 'UTC') === undefined))
      this.fault(name, `${what} must be a date.`);
    return value;
  }

  zone(name: string, what: string): string {
    const value = this.needed(name, what);
    if (value !== '' && readLocal('2026-01-01T00:00', value) === undefined)
      this.fault(name, `${what} must be a name of the list, like America/Chicago.`);
    return value;
  }

  money(name: string, what: string, currency: string): number {
    const value = this.needed(name, what);
    if (value === '' || minorDigits(currency) === undefined) return 0;
    const amount = readMoney(value, currency);
    if (amount === undefined)
      this.fault(name, `${what} is not an amount in ${currency}. Write it like ${moneyExample(currency)}.`);
    return amount ?? 0;
  }

  local(name: string, what: string, zone: string): string {
    const value = this.needed(name, what);
    const zoneIsKnown = readLocal('2026-01-01T00:00', zone) !== undefined;
    const at = readLocal(value, zone);
    if (value !== '' && zoneIsKnown && at === undefined) this.fault(name, `${what} must be a day and a time.`);
    return at ?? '';
  }

  /** Lines with a model; a serial number without one is a fault. */
  units(rows: readonly string[]): VisitPlan['units'] {
    const used = rowsInUse(this.typed, rows);
    if (used.length === 0) this.fault(`sku-${rows[0] ?? ''}`, 'Choose at least one unit.');
    return used.map((row) => ({
      sku: this.needed(`sku-${row}`, `The model of unit ${rows.indexOf(row) + 1}`),
      serial: this.needed(`serial-${row}`, `The serial number of unit ${rows.indexOf(row) + 1}`),
    }));
  }

  private fault(name: string, detail: string): void {
    this.faults.push({ pointer: `#/${name}`, detail });
  }
}
