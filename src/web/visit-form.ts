import type { VisitWish } from '../inspections/visits.service.js';
import { minorDigits } from '../kernel/currency.js';
import type { Fault } from '../kernel/outcome.js';
import { isCalendarDate } from '../platform/http/fields.js';
import { Invalid } from '../platform/http/problems.js';
import { moneyExample, readMoney } from './domain/money-words.js';
import { readLocal } from './domain/time-words.js';
import { text, type Form } from './form-fields.js';

const CONDITIONS = ['clean', 'exceptions', 'not known'] as const;

/** Reads the form for a visit. @throws Invalid naming every fault at once */
export function visitFrom(form: Form): VisitWish {
  const read = new VisitForm(form);
  const currency = read.matching('currency', 'The currency', /^[A-Za-z]{3}$/, 'three letters like USD').toUpperCase();
  const zone = read.needed('zone', 'The time zone');
  const wish: VisitWish = {
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
        .matching('country', 'The country', /^[A-Za-z]{2}(-[A-Za-z0-9]{1,3})?$/, 'like DE or US-OH')
        .toUpperCase(),
    },
    zone,
    windowFrom: read.local('from', 'The beginning of the window', zone),
    windowTo: read.local('to', 'The end of the window', zone),
    crewSize: Number(read.matching('crewSize', 'The number of people', /^([1-9]|10)$/, 'a whole number from 1 to 10')),
    custody: [
      {
        stage: 'packed',
        party: 'maker',
        condition: CONDITIONS.find((each) => each === text(form, 'condition')) ?? 'not known',
      },
    ],
    units: read.units(),
  };
  if (read.faults.length > 0) throw new Invalid(read.faults);
  return wish;
}

class VisitForm {
  readonly faults: Fault[] = [];

  constructor(private readonly form: Form) {}

  needed(name: string, what: string): string {
    const value = text(this.form, name);
    if (value === '') this.fault(name, `${what} is missing.`);
    return value.slice(0, 200);
  }

  matching(name: string, what: string, pattern: RegExp, like: string): string {
    const value = this.needed(name, what);
    if (value !== '' && !pattern.test(value)) this.fault(name, `${what} must be ${like}.`);
    return value;
  }

  date(name: string, what: string): string {
    const value = this.needed(name, what);
    if (value !== '' && !isCalendarDate(value)) this.fault(name, `${what} must be a date.`);
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
    const at = readLocal(value, zone);
    if (value !== '' && zone !== '' && at === undefined) this.fault(name, `${what} must be a day and a time.`);
    // Where the field is faulty the form is refused; the value only has to be an instant.
    return at ?? '1970-01-01T00:00:00Z';
  }

  /** Lines with a model; a serial number without one is a fault. */
  units(): { readonly sku: string; readonly serial: string }[] {
    const units: { sku: string; serial: string }[] = [];
    for (let n = 0; n < 10; n += 1) {
      const [sku, serial] = [text(this.form, `sku-${n}`), text(this.form, `serial-${n}`)];
      if (sku === '' && serial === '') continue;
      if (sku === '') this.fault(`sku-${n}`, `Choose the model of unit ${n + 1}.`);
      if (serial === '') this.fault(`serial-${n}`, `The serial number of unit ${n + 1} is missing.`);
      units.push({ sku: sku.slice(0, 60), serial: serial.slice(0, 64) });
    }
    if (units.length === 0) this.fault('sku-0', 'Choose at least one unit.');
    return units;
  }

  private fault(name: string, detail: string): void {
    this.faults.push({ pointer: `#/${name}`, detail });
  }
}
