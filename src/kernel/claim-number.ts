/**
 * Claim numbers: eight digits and a check digit by ISO/IEC 7064 MOD 11,10, shown in three groups ("482 177 305"). Digits can be
 * said on a bad line in any language; the pure hybrid system finds every single wrong digit and most swapped neighbours.
 */

/** Check digit of a digit string by ISO/IEC 7064 MOD 11,10. @throws RangeError when the text is not 1 or more digits. */
export function mod1110CheckDigit(digits: string): string {
  if (!/^\d+$/.test(digits)) throw new RangeError('digits only');
  let p = 10;
  for (const digit of digits) {
    const s = (p + Number(digit)) % 10;
    p = ((s === 0 ? 10 : s) * 2) % 11;
  }
  return String((11 - p) % 10);
}

/** The nine-digit number for an eight-digit serial (0 to 99,999,999). @throws RangeError outside that range. */
export function claimNumber(serial: number): string {
  if (!Number.isInteger(serial) || serial < 0 || serial > 99_999_999) throw new RangeError('serial out of range');
  const digits = String(serial).padStart(8, '0');
  return digits + mod1110CheckDigit(digits);
}

/** Reads a claim number as people write it (spaces, dots and hyphens anywhere). Undefined when length or check digit is wrong. */
export function parseClaimNumber(text: string): string | undefined {
  const digits = text.replace(/[\s.\-\u2010-\u2015]/g, '');
  if (!/^\d{9}$/.test(digits)) return undefined;
  return mod1110CheckDigit(digits.slice(0, 8)) === digits[8] ? digits : undefined;
}

/** "482177305" → "482 177 305". */
export function showClaimNumber(number: string): string {
  return `${number.slice(0, 3)} ${number.slice(3, 6)} ${number.slice(6)}`;
}
