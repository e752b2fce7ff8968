import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  convertSdr,
  declaredLimit,
  kilogramsOf,
  lessSalvageProceeds,
  poundsOf,
  releasedLimit,
  sdrPackageOrKg,
  sdrPerKg,
  sdrText,
  underLimit,
} from './liability-caps.js';

const USD = { currency: 'USD', rounding: 'half up' } as const;
const sdr = (limit: { readonly hundredths: bigint }): string => sdrText(limit.hundredths);

describe('released value (49 CFR part 375, STB released rates: 0.60 USD a pound for each article)', () => {
  it.each([
    // The first is the mover's own published example: a 10 lb stereo worth 1,000 brings 6.00.
    [['10'], 600],
    [['150'], 9_000],
    // Two articles of 40 and 90 lb, only the lighter one damaged: by the article, not by the shipment.
    [['40'], 2_400],
    [['40', '90'], 7_800],
  ])('of %j lb is %i cents', (pounds, cents) => {
    expect(releasedLimit('0.60', pounds, USD).limitMinor).toBe(cents);
  });
});

describe('a limit agreed in writing (49 U.S.C. 14706(c)(1)(A))', () => {
  it('of 5.00 a pound on 190 lb is 950.00: a loss of 1,180.00 brings 950.00, one of 600.00 brings 600.00', () => {
    const { limitMinor } = declaredLimit({ perPoundMinor: 500, pounds: '190' }, USD);
    expect(limitMinor).toBe(95_000);
    expect(underLimit(118_000, limitMinor)).toEqual({ payableMinor: 95_000, cutMinor: 23_000 });
    expect(underLimit(60_000, limitMinor)).toEqual({ payableMinor: 60_000, cutMinor: 0 });
  });

  it('that does not exist cuts nothing off', () => {
    expect(underLimit(118_000, null)).toEqual({ payableMinor: 118_000, cutMinor: 0 });
  });
});

describe('conventions in special drawing rights', () => {
  it('CMR art. 23(3): 8.33 SDR × 65 kg = 541.45 SDR', () => {
    expect(sdr(sdrPerKg('8.33', 65_000))).toBe('541.45');
  });

  it.each([
    ['17', '1105.00'],
    ['19', '1235.00'],
    ['22', '1430.00'],
    ['26', '1690.00'],
  ])('Montreal Convention art. 22(3): %s SDR × 65 kg = %s SDR', (perKg, expected) => {
    expect(sdr(sdrPerKg(perKg, 65_000))).toBe(expected);
  });

  it.each([
    // Hague-Visby Rules art. IV r. 5(a),(c): packages are those that the bill enumerates.
    ['one carton of 80 kg', 1, 80_000, '666.67'],
    ['one crate of 400 kg', 1, 400_000, '800.00'],
    ['"1 container" with 120 cartons, 6,000 kg', 1, 6_000_000, '12000.00'],
    ['"120 cartons", 6,000 kg', 120, 6_000_000, '80000.40'],
    ['the break-even weight of 333.335 kg', 1, 333_335, '666.67'],
  ])('Hague-Visby: %s', (_says, packages, grams, expected) => {
    expect(sdr(sdrPackageOrKg({ perPackage: '666.67', perKg: '2' }, { packages, grams }))).toBe(expected);
  });

  it('are worked out in SDR, converted once and rounded last: 711.30, not the 711.10 of a rate converted first', () => {
    // The exchange rate is made up; rounding the rate per kilogram to 10.94 first would give 65 × 10.94 = 711.10.
    const limit = convertSdr(sdrPerKg('8.33', 65_000), '1.3137', USD);
    expect(limit).toMatchObject({ limitMinor: 71_130, sdr: '541.45' });
    expect(limit.working).toContain('8.33 SDR × 65 kg = 541.45 SDR');
  });

  it('come out in currencies of no and three digits alike', () => {
    expect(convertSdr(sdrPerKg('8.33', 65_000), '195.5', { ...USD, currency: 'JPY' }).limitMinor).toBe(105_853);
    expect(convertSdr(sdrPerKg('8.33', 65_000), '0.4021', { ...USD, currency: 'KWD' }).limitMinor).toBe(217_717);
  });
});

describe('salvage (49 CFR 370.11)', () => {
  it.each([
    [90_000, 14_000, 76_000],
    [90_000, 95_000, 0],
  ])('%i less %i leaves %i', (loss, salvage, net) => {
    expect(lessSalvageProceeds(loss, salvage)).toBe(net);
  });
});

describe('weights', () => {
  it('are pounds to two decimals and kilograms exactly', () => {
    // 190 lb are 86,182.55 g (1 lb = 453.59237 g).
    expect([poundsOf(86_183), poundsOf(0), kilogramsOf(65_000), kilogramsOf(333_335)]).toEqual([
      '190',
      '0',
      '65',
      '333.335',
    ]);
  });
});

describe('any loss under any limit', () => {
  it('is never raised, and what is payable and what is cut off add up to it', () => {
    const minor = fc.nat({ max: 2 ** 40 });
    fc.assert(
      fc.property(minor, fc.option(minor), (loss, limit) => {
        const { payableMinor, cutMinor } = underLimit(loss, limit);
        expect(payableMinor).toBeLessThanOrEqual(loss);
        expect(payableMinor).toBeLessThanOrEqual(limit ?? loss);
        expect(cutMinor).toBeGreaterThanOrEqual(0);
        expect(payableMinor + cutMinor).toBe(loss);
      }),
    );
  });
});
