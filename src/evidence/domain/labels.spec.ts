import { describe, expect, it } from 'vitest';
import { FNC1 } from './gs1-element-string.js';
import { checkLabels, type ExpectedUnit } from './label-check.js';
import { isLabelShot, labelReading, type LabelReading } from './labels.js';

const read = (format: string, identifier: string, content: string): LabelReading =>
  labelReading({ format, identifier, content, place: [[0, 0]], atPx: 2048 });

describe('a code on a photo', () => {
  it('of GS1-128 holds a GTIN, a lot and a serial number', () => {
    const label = read('Code128', ']C1', `011234567890123110AB12${FNC1}21S-1`);
    expect(label).toMatchObject({
      symbology: 'GS1-128',
      text: '(01)12345678901231(10)AB12(21)S-1',
      gtin: '12345678901231',
      serial: 'S-1',
    });
    expect(label.fault).toBeUndefined();
  });

  it('of a logistic unit holds its number', () => {
    expect(read('Code128', ']C1', '00006141411234567890').sscc).toBe('006141411234567890');
  });

  it.each([
    [']d2', 'DataMatrix', 'GS1 DataMatrix'],
    [']Q3', 'QRCode', 'GS1 QR code'],
    [']d1', 'DataMatrix', 'DataMatrix'],
    [']Q1', 'QRCode', 'QR code'],
    [']C0', 'Code128', 'Code 128'],
  ])('with %s is a %s called %s', (identifier, format, symbology) => {
    expect(read(format, identifier, '0112345678901231').symbology).toBe(symbology);
  });

  it('may be a Digital Link', () => {
    expect(read('QRCode', ']Q1', 'https://id.gs1.org/01/12345678901231/21/S-1')).toMatchObject({
      digitalLink: true,
      gtin: '12345678901231',
      serial: 'S-1',
      text: 'https://id.gs1.org/01/12345678901231/21/S-1',
    });
  });

  it('that claims to be GS1 and is damaged says so and gives no numbers', () => {
    const label = read('Code128', ']C1', '0112345678901234');
    expect(label.fault).toBe('(01): A check digit is wrong: the code is damaged or was made up.');
    expect(label.gtin).toBeUndefined();
  });

  it('with an element that lacks its fellow is read all the same', () => {
    const label = read('DataMatrix', ']d2', '21S-1');
    expect(label.serial).toBe('S-1');
    expect(label.fault).toBe('(21) stands without 01 or 03 or 8006.');
  });

  it('of a shop gives its number in 14 digits, a UPC-A with or without its leading zero', () => {
    expect(read('EAN13', ']E0', '4006381333931').gtin).toBe('04006381333931');
    expect(read('UPCA', ']E0', '0416000336108').gtin).toBe('00416000336108');
    expect(read('UPCA', ']E0', '416000336108').gtin).toBe('00416000336108');
    expect(read('EAN8', ']E4', '02345673').gtin).toBe('00000002345673');
  });

  it('never brings control characters or endless text into a reading', () => {
    const label = read('QRCode', ']Q1', `\u0000\u202Eevil\n${'x'.repeat(5000)}`);
    expect(label.text).toMatch(/^evil x+$/);
    expect(label.text.length).toBeLessThanOrEqual(200);
  });
});

describe('label shots', () => {
  it.each([
    ['carton', 'label', true],
    ['serial', 'wide', true],
    ['carton-label', 'close', true],
    ['packing-list', 'whole', true],
    ['carton-front', 'wide', false],
    ['serialised', 'wide', false],
  ])('%s/%s: %s', (item, shows, is) => {
    expect(isLabelShot({ item, shows })).toBe(is);
  });
});

describe('labels against the visit', () => {
  const unit: ExpectedUnit = { serial: 'DR7K123456', sku: 'BASE-160', others: ['DR7K999999'] };
  const gs1 = (serial: string) => read('DataMatrix', ']d2', `011234567890123121${serial}`);
  const plain = (text: string) => read('Code128', ']C0', text);
  const outcome = (labels: LabelReading[], sought = false) => {
    const check = checkLabels(labels, unit, sought);
    return check && [check.outcome, check.read];
  };

  it.each([
    ['its own serial', [gs1('DR7K123456')], ['match', 'DR7K123456']],
    ['its own serial in small letters', [plain('dr7k123456')], ['match', 'dr7k123456']],
    ['its own serial behind S/N', [plain('S/N: DR7K123456')], ['match', 'DR7K123456']],
    ['its own among others', [gs1('XX'), plain('DR7K123456')], ['match', 'DR7K123456']],
    ['that of another unit', [plain('DR7K999999')], ['differs', 'DR7K999999']],
    ['a strange GS1 serial', [gs1('ZZ')], ['differs', 'ZZ']],
    ['a strange one that is built alike', [plain('AB1C654321')], ['differs', 'AB1C654321']],
    ['some other code of the carton', [plain('SHELF-17')], undefined],
    ['a retail code', [read('EAN13', ']E0', '4006381333931')], undefined],
    ['nothing', [], undefined],
  ])('%s', (_what, labels, wanted) => {
    expect(outcome(labels)).toEqual(wanted);
  });

  it('none is worth a word only where one was to be shown', () => {
    expect(outcome([], true)).toEqual(['none', undefined]);
    expect(checkLabels([], unit, true)?.says.es).toMatch(/^No se pudo leer/);
  });

  it('a GTIN is compared where the model is known by one', () => {
    const known = { ...unit, sku: '12345678901231' };
    expect(checkLabels([gs1('DR7K123456')], known, false)?.outcome).toBe('match');
    const other = checkLabels([read('EAN13', ']E0', '4006381333931')], known, false);
    expect(other).toMatchObject({ outcome: 'differs', read: '04006381333931' });
  });
});
