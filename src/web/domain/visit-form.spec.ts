import { describe, expect, it } from 'vitest';
import { faultInForm, readVisit, rowsInUse } from './visit-form.js';

const typed = {
  retailer: 'pellow',
  carrier: 'ZZPF',
  reference: 'PS-1',
  placedOn: '2026-02-20',
  currency: 'usd',
  price: '1,299.00',
  tax: '94.18',
  delivery: '0',
  street: '418 Larkfield Row',
  place: 'Mill Hollow',
  postcode: '43999',
  country: 'us-oh',
  zone: 'America/New_York',
  from: '2026-03-08T01:30',
  to: '2026-03-08T03:30',
  crewSize: '2',
  condition: 'clean',
  'sku-a': 'OST-1',
  'serial-a': 'DR7',
  'sku-b': '',
  'serial-b': '',
};
const rows = ['a', 'b'];
const faultsOf = (over: object) => {
  const read = readVisit({ ...typed, ...over }, rows);
  return 'faults' in read ? read.faults.map(({ pointer, detail }) => `${pointer} ${detail}`) : [];
};

describe('the form for a visit', () => {
  it('becomes a plan in minor units and instants of the place', () => {
    const read = readVisit(typed, rows);
    expect(read).toMatchObject({
      plan: {
        order: { currency: 'USD', priceMinor: 129_900, taxMinor: 9418, deliveryMinor: 0 },
        address: { lines: ['418 Larkfield Row'], country: 'US-OH' },
        // Clocks went forward at 02:00 on 8 March 2026 (15 USC 260a: second Sunday of March), so that the window is one hour long.
        windowFrom: '2026-03-08T06:30:00Z',
        windowTo: '2026-03-08T07:30:00Z',
        crewSize: 2,
        custody: [{ stage: 'packed', party: 'maker', condition: 'clean' }],
        units: [{ sku: 'OST-1', serial: 'DR7' }],
      },
    });
  });

  it('names every fault at once, each at its field', () => {
    expect(faultsOf({ reference: ' ', placedOn: '2026-02-30', zone: 'Ohio', crewSize: '0', 'serial-b': 'X' })).toEqual([
      '#/zone The time zone must be a name of the list, like America/Chicago.',
      '#/reference The order number is missing.',
      '#/placedOn The day of the order must be a date.',
      '#/crewSize The number of people must be a whole number from 1 to 10.',
      '#/sku-b The model of unit 2 is missing.',
    ]);
    // ISO 4217: yen have no minor unit.
    expect(faultsOf({ currency: 'JPY', price: '12.50' })[0]).toMatch(/^#\/price The price is not an amount in JPY/);
    expect(faultsOf({ 'sku-a': '', 'serial-a': '' })).toEqual(['#/sku-a Choose at least one unit.']);
    expect(faultsOf({ to: '8 o’clock' })).toEqual(['#/to The end of the window must be a day and a time.']);
  });

  it('finds the field that the service means, also where lines were left empty', () => {
    const sent = rowsInUse({ ...typed, 'sku-a': '', 'serial-a': '', 'sku-b': 'OST-1', 'serial-b': 'DR7' }, rows);
    expect(sent).toEqual(['b']);
    const detail = 'x';
    const at = (pointer: string) => faultInForm({ pointer, detail }, sent).pointer;
    expect(at('#/units/0/serial')).toBe('#/serial-b');
    expect(at('#/order/currency')).toBe('#/currency');
    expect(at('#/address/lines/0')).toBe('#/street');
    expect(at('#/something/else')).toBe('#/something/else');
  });
});
