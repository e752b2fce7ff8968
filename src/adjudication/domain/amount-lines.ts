import { money, moneyDecimal } from '../../kernel/money.js';
import type { Rounding } from '../../kernel/rounding.js';
import type { AmountLine } from '../adjudication.contract.js';
import { decimalText, scaleWithWorking, type Ratio } from './exact-decimal.js';

/** What every line of one calculation has in common. */
export interface LineBasis {
  readonly currency: string;
  readonly rounding: Rounding;
  /** Subject of the finding, or `claim`. */
  readonly about: string;
}

/** An amount taken as it stands. */
export function plainLine(basis: LineBasis, id: string, says: string, amountMinor: number, where: string): AmountLine {
  return {
    id,
    says,
    amountMinor: money(amountMinor, basis.currency).amountMinor,
    working: `${figure(basis, amountMinor)} ${where}`,
    about: basis.about,
  };
}

/** A scaled amount: base × fraction, rounded once by the policy's rounding. */
export interface ScaledAmount {
  readonly id: string;
  readonly says: string;
  readonly baseMinor: number;
  readonly by: Ratio;
  /** The fraction as people write it: "15 %", "18 ÷ 60". */
  readonly shown: string;
  /** True for what is held back: the line is the negative of the amount. */
  readonly heldBack?: boolean;
}

/** A line that is a fraction of a base amount. */
export function scaledLine(basis: LineBasis, scaled: ScaledAmount): AmountLine {
  const { amountMinor, working } = scaleWithWorking(
    money(scaled.baseMinor, basis.currency),
    scaled.by,
    basis.rounding,
    `${figure(basis, scaled.baseMinor)} × ${scaled.shown}`,
  );
  const signed = scaled.heldBack === true && amountMinor !== 0 ? -amountMinor : amountMinor;
  const shown = scaled.heldBack === true ? `${working}, held back` : working;
  return { id: scaled.id, says: scaled.says, amountMinor: signed, working: shown, about: basis.about };
}

/** Sum of lines in minor units. @throws RangeError when it leaves the safe range. */
export function sumLines(lines: readonly AmountLine[]): number {
  const sum = lines.reduce((total, { amountMinor }) => total + BigInt(amountMinor), 0n);
  if (!Number.isSafeInteger(Number(sum))) throw new RangeError('the lines add up to more than can be kept exactly');
  return Number(sum);
}

/** Lines that sum below nothing get one more line that brings the sum to nothing. */
export function notBelowNothing(basis: LineBasis, lines: readonly AmountLine[], says: string): AmountLine[] {
  const sum = sumLines(lines);
  if (sum >= 0) return [...lines];
  const working = `the lines above come to ${figure(basis, sum)}, and nothing is taken below 0`;
  return [...lines, { id: 'not below nothing', says, amountMinor: -sum, working, about: basis.about }];
}

/** "15" → "15 %", "15.50" → "15.5 %". */
export function percentShown(fraction: Ratio): string {
  return `${decimalText(fraction.numerator * 100n, fraction.denominator, 18)} %`;
}

/** Plain decimal text of minor units in the calculation's currency. */
export function figure(basis: LineBasis, amountMinor: number): string {
  return moneyDecimal(money(amountMinor, basis.currency));
}
