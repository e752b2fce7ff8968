import { checkDigitFault } from './gs1-check-digit.js';

/**
 * One part of a value: its characters (N digits, X the 82 of table 7.11-1, Y the 39 of table 7.11-2), its length, and what it must hold
 * beside that.
 */
export interface ValuePart {
  readonly set: 'N' | 'X' | 'Y';
  readonly least: number;
  readonly most: number;
  readonly rule?: 'check digit' | 'date' | 'exact date';
}

export type ValueFault =
  'empty value' | 'too short' | 'too long' | 'wrong character' | 'wrong check digit' | 'no such date';

const CHARACTERS: Readonly<Record<ValuePart['set'], RegExp>> = {
  N: /^[0-9]*$/,
  X: /^[!"%&'()*+,\-./0-9:;<=>?A-Z_a-z]*$/,
  Y: /^[#\-/0-9A-Z]*$/,
};

/**
 * A format as the General Specifications write it, parts joined by `+`: `N14,check`, `X..20`, `N8+N0..4`, `N6,date`.
 * Day 00 stands for the last day of the month with `date` and is refused with `exact`.
 */
export function valueParts(format: string): readonly ValuePart[] {
  return format.split('+').map((part) => {
    const match = /^([NXY])(\d*)(\.\.)?(\d+)(?:,(check|date|exact))?$/.exec(part);
    if (!match) throw new Error(`not a format: ${part}`);
    const [, set, least, dots, most, rule] = match;
    const whole = dots === undefined ? Number(`${least}${most}`) : Number(most);
    return {
      set: set as ValuePart['set'],
      least: dots === undefined ? whole : least === '' ? 1 : Number(least),
      most: whole,
      ...(rule === undefined ? {} : { rule: RULES[rule as keyof typeof RULES] }),
    };
  });
}

const RULES = { check: 'check digit', date: 'date', exact: 'exact date' } as const;

/** What is wrong with a value; undefined when it fits. */
export function valueFault(parts: readonly ValuePart[], value: string): ValueFault | undefined {
  if (value === '') return 'empty value';
  let rest = value;
  for (const part of parts) {
    const taken = rest.slice(0, part.most);
    rest = rest.slice(part.most);
    if (!CHARACTERS[part.set].test(taken)) return 'wrong character';
    if (taken.length < part.least) return 'too short';
    if (part.rule === 'check digit' && checkDigitFault(taken)) return 'wrong check digit';
    if (part.rule === 'date' && !monthAndDay(taken, true)) return 'no such date';
    if (part.rule === 'exact date' && !monthAndDay(taken, false)) return 'no such date';
  }
  return rest === '' ? undefined : 'too long';
}

function monthAndDay(yymmdd: string, dayMayBeOpen: boolean): boolean {
  const [year = 0, month = 0, day = 0] = [0, 2, 4].map((at) => Number(yymmdd.slice(at, at + 2)));
  if (month < 1 || month > 12) return false;
  if (day === 0) return dayMayBeOpen;
  // Of a century's years the same ones are leap years here, 2000 being one.
  return day <= Temporal.PlainYearMonth.from({ year: 2000 + year, month }).daysInMonth;
}

/**
 * The date of a YYMMDD value. Years lie within 49 years back and 50 ahead of the current one (GS1 General Specifications, section 7.12);
 * day 00 is the last of the month. @returns undefined when there is no such date
 */
export function gs1Date(yymmdd: string, currentYear: number): Temporal.PlainDate | undefined {
  if (!/^[0-9]{6}$/.test(yymmdd) || !monthAndDay(yymmdd, true)) return undefined;
  const two = Number(yymmdd.slice(0, 2));
  const apart = two - (currentYear % 100);
  const century = Math.floor(currentYear / 100) + (apart >= 51 ? -1 : apart <= -50 ? 1 : 0);
  const month = Temporal.PlainYearMonth.from({ year: century * 100 + two, month: Number(yymmdd.slice(2, 4)) });
  const day = Number(yymmdd.slice(4));
  if (day > month.daysInMonth) return undefined;
  return month.toPlainDate({ day: day === 0 ? month.daysInMonth : day });
}

/** Digits with so many decimals, exactly: ('000189', 3) → '0.189'. */
export function withDecimals(digits: string, decimals: number): string {
  const padded = digits.padStart(decimals + 1, '0');
  const whole = padded.slice(0, padded.length - decimals).replace(/^0+(?=\d)/, '');
  return decimals === 0 ? whole : `${whole}.${padded.slice(-decimals)}`;
}
