/**
 * Minor-unit digits of ISO 4217 currencies. Every active code not listed here has two; funds and metals without a minor
 * unit are refused. Source: ISO 4217 list one, as republished in datasets/currency-codes (codes-all.csv).
 */
const ZERO = 'BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF'.split(' ');
const THREE = 'BHD IQD JOD KWD LYD OMR TND'.split(' ');
const FOUR = 'CLF UYW'.split(' ');
const NONE = 'XAU XAG XPD XPT XDR XBA XBB XBC XBD XSU XTS XUA XXX'.split(' ');

const TWO = (
  'AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BOV BRL BSD BTN BWP BYN BZD CAD CDF CHE CHF CHW CNY ' +
  'COP COU CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR ' +
  'IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MXV MYR MZN NAD ' +
  'NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP ' +
  'SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD USN UYU UZS VED VES WST XCD XCG YER ZAR ZMW ZWG'
).split(' ');

const DIGITS = new Map<string, number>([
  ...ZERO.map((code) => [code, 0] as const),
  ...TWO.map((code) => [code, 2] as const),
  ...THREE.map((code) => [code, 3] as const),
  ...FOUR.map((code) => [code, 4] as const),
]);

/** Digits after the decimal point of a currency's minor unit, or undefined where the code is unknown or has no minor unit. */
export function minorDigits(currency: string): number | undefined {
  return DIGITS.get(currency);
}

/** Whether the code is on the ISO 4217 list without a minor unit (metals, SDR, test codes): never an amount of money here. */
export function hasNoMinorUnit(currency: string): boolean {
  return NONE.includes(currency);
}
