/** Why a number fails its check digit. */
export type CheckDigitFault = 'too short' | 'not all digits' | 'wrong check digit';

/**
 * Whether the last digit is the one that the others call for: from the right, weights 3 and 1 by turns, up to the next ten (GS1 General
 * Specifications, section 7.9). The same for GTIN of 8 to 14 digits, SSCC, GLN and the rest.
 * @returns undefined when it holds
 */
export function checkDigitFault(digits: string): CheckDigitFault | undefined {
  if (digits.length < 2) return 'too short';
  if (!/^[0-9]+$/.test(digits)) return 'not all digits';
  return checkDigit(digits.slice(0, -1)) === digits.at(-1) ? undefined : 'wrong check digit';
}

/** The check digit for digits that have none yet. @param digits only 0 to 9 */
export function checkDigit(digits: string): string {
  const sum = Array.from(digits).reduceRight((total, digit, at) => {
    return total + Number(digit) * ((digits.length - at) % 2 === 1 ? 3 : 1);
  }, 0);
  return String((10 - (sum % 10)) % 10);
}

/**
 * A GTIN of 8, 12, 13 or 14 digits as 14 digits, so that all forms of one item compare equal (GS1 General Specifications, section 3.3.2).
 * @returns undefined for anything else, wrong check digits included
 */
export function gtin14(digits: string): string | undefined {
  if (![8, 12, 13, 14].includes(digits.length) || checkDigitFault(digits)) return undefined;
  return digits.padStart(14, '0');
}
