import { isBusinessDay, type IsHoliday } from '../../kernel/days.js';

/** Whether a change of mind came in time, and the last day on which it could have. */
export interface ReturnWindow {
  readonly open: boolean;
  readonly lastDay: string;
}

/**
 * A withdrawal window in calendar days after delivery. Where the regime says so, a last day on a weekend or holiday moves to the next
 * working day (Regulation (EEC, Euratom) No 1182/71 art. 3(4), applied to Directive 2011/83/EU art. 9).
 * @param delivered local date of receipt of the last piece @param on local date of the customer's statement
 */
export function returnWindow(
  delivered: Temporal.PlainDate,
  on: Temporal.PlainDate,
  rule: { readonly days: number; readonly rolls: boolean; readonly isHoliday: IsHoliday },
): ReturnWindow {
  let last = delivered.add({ days: rule.days });
  while (rule.rolls && !isBusinessDay(last, 'monday to friday', rule.isHoliday)) last = last.add({ days: 1 });
  return { open: Temporal.PlainDate.compare(on, last) <= 0, lastDay: last.toString() };
}
