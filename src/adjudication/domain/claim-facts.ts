import {
  compareInstants,
  completedMonths,
  dayAfter,
  daysBetween,
  isBusinessDay,
  localDate,
} from '../../kernel/days.js';
import { money, moneyDecimal } from '../../kernel/money.js';
import { WHOLE_BP } from '../../kernel/shares.js';
import { STAGES, type Origin, type Remedy } from '../../kernel/vocabulary.js';
import type { Model } from '../../catalogue/catalogue.contract.js';
import type { Finding, Severity } from '../../diagnosis/diagnosis.contract.js';
import type { ClockStart, Facts } from '../../policies/policies.contract.js';
import type { ClaimFile, CustodyStage } from '../adjudication.contract.js';
import type { HolidayLookup } from './claim-clocks.js';
import type { EvidenceGrade } from './evidence-grade.js';
import type { JudgedMatter } from './judged-case.js';
import { effectiveReceipt } from './receipt-words.js';
import { customerFitsAll, partsPrice, type PartNeeded } from './remedy-costs.js';
import type { Cover } from './warranty-cover.js';

/** Longest stretch over which business days are counted one by one. */
const MOST_DAYS_COUNTED = 3_660;

/** Dates of a claim at the place of delivery, as of the instant on which it is judged. */
export interface ClaimDates {
  readonly delivered: Temporal.PlainDate;
  /** When the carrier was told; undefined while nobody told it. */
  readonly toldCarrier: Temporal.PlainDate | undefined;
  /** The day on which the trouble was noticed, else filed, else the day as of which the claim is judged. */
  readonly noticed: Temporal.PlainDate;
  /** The day of filing, or the day as of which the claim is judged while it is not filed. */
  readonly filed: Temporal.PlainDate;
  readonly ageMonths: number;
}

/** Reads the dates of a claim. Whatever lies after `asOf` has not happened yet. The delivery must have happened. */
export function claimDates(claim: ClaimFile): ClaimDates {
  const asOf = localDate(claim.asOf, claim.zone);
  const delivered = dateOf(claim, 'delivered') ?? asOf;
  const filed = dateOf(claim, 'filed') ?? asOf;
  const noticed = dateOf(claim, 'noticed') ?? filed;
  return {
    delivered,
    toldCarrier: dateOf(claim, 'notice to carrier'),
    noticed,
    filed,
    ageMonths: completedMonths(delivered, noticed),
  };
}

/** Facts that hold for every matter of a claim. Known to be absent is null; not known is left out. */
export function claimFacts(claim: ClaimFile, dates: ClaimDates, safetyStop: boolean, isHoliday: HolidayLookup): Facts {
  const { delivery, order } = claim;
  const receipt = effectiveReceipt(delivery);
  const businessDays = dates.toldCarrier && businessDaysBetween(dates.delivered, dates.toldCarrier, isHoliday);
  return {
    ground: claim.ground,
    receipt,
    noted: receipt === 'exceptions noted' || receipt === 'refused',
    'found at': delivery.foundAt,
    'days to notice': dates.toldCarrier ? daysBetween(dates.delivered, dates.toldCarrier) : null,
    ...(businessDays === 'no data' ? {} : { 'business days to notice': businessDays ?? null }),
    packaging: delivery.packaging,
    'impact indicator': delivery.impactIndicator,
    'tilt indicator': delivery.tiltIndicator,
    ...(claim.stepsFollowed === null ? {} : { 'steps followed': claim.stepsFollowed }),
    'origin condition': conditionBeforeCarrier(delivery.custody),
    'safety stop': safetyStop,
    'age months': dates.ageMonths,
    'days since delivery': daysBetween(dates.delivered, dates.filed),
    'failed repairs': claim.failedRepairs,
    'price paid': moneyDecimal(money(order.priceMinor, order.currency)),
    opened: claim.unit.opened,
    'return reason': claim.returnReason ?? 'none',
    'delivered on': dates.delivered.toString(),
  };
}

/** One matter of a claim: a finding, or the claim itself where there is none to speak of. */
export interface Matter extends JudgedMatter {
  readonly finding: Finding | undefined;
  readonly evidence: EvidenceGrade;
  readonly cover: Cover;
  readonly parts: readonly PartNeeded[];
}

/** Facts of one matter. Component and origin are the likeliest by their marginals; the severity is the leading explanation's. */
export function matterFacts(matter: Matter, model: Model): Facts {
  const { finding, parts } = matter;
  const origin = finding?.origins[0];
  const stock = stockOf(parts);
  return {
    component: matter.component,
    origin: origin?.origin ?? null,
    'origin share': Math.round((origin?.probability ?? 0) * WHOLE_BP),
    finding: finding?.verdict ?? 'none',
    severity: severityOf(finding),
    'evidence grade': matter.evidence,
    cover: matter.cover,
    spare: parts.length > 0,
    'customer fits': customerFitsAll(parts),
    'part price': parts.length > 0 ? moneyDecimal(money(partsPrice(parts), model.currency)) : null,
    ...(stock === undefined ? {} : { 'part in stock': stock }),
  };
}

/** Facts of one remedy option. */
export function optionFacts(option: Remedy, wish: Remedy | undefined): Facts {
  return { option, wished: wish === option };
}

/** Facts of one origin, asked for in turn. */
export function originFacts(origin: Origin, probability: number): Facts {
  return { origin, 'origin share': Math.round(probability * WHOLE_BP) };
}

/** Business days (Monday to Friday less public holidays) after one date up to and including another; 0 where it is not later. */
export function businessDaysBetween(
  from: Temporal.PlainDate,
  to: Temporal.PlainDate,
  isHoliday: HolidayLookup,
): number | 'no data' {
  const days = daysBetween(from, to);
  if (days > MOST_DAYS_COUNTED) return 'no data';
  let count = 0;
  let day = from;
  for (let left = days; left > 0; left -= 1) {
    day = dayAfter(day);
    const holiday = isHoliday(day);
    if (holiday === 'no data') return 'no data';
    if (isBusinessDay(day, 'monday to friday', () => holiday)) count += 1;
  }
  return count;
}

/** Condition on the last custody record before the carrier took over; `not known` without one. */
export function conditionBeforeCarrier(custody: readonly CustodyStage[]): CustodyStage['condition'] {
  const inOrder = [...custody].sort((a, b) => STAGES.indexOf(a.stage) - STAGES.indexOf(b.stage));
  const carrier = inOrder.findIndex(({ party }) => party === 'carrier');
  const before = carrier === -1 ? inOrder.filter(({ stage }) => BEFORE_CARRIAGE.has(stage)) : inOrder.slice(0, carrier);
  return before.at(-1)?.condition ?? 'not known';
}

const BEFORE_CARRIAGE = new Set<string>(['made', 'packed', 'stored']);

function severityOf(finding: Finding | undefined): Severity {
  return finding?.explanations[0]?.severity ?? 'none';
}

/** Null where there is no part to be in stock, undefined where nobody knows. */
function stockOf(parts: readonly PartNeeded[]): boolean | null | undefined {
  if (parts.length === 0) return null;
  if (parts.some(({ part }) => part.inStock === undefined)) return undefined;
  return parts.every(({ part }) => part.inStock === true);
}

function dateOf(claim: ClaimFile, event: ClockStart): Temporal.PlainDate | undefined {
  const at = claim.events[event];
  if (at === undefined) return undefined;
  const later = compareInstants(at, claim.asOf) > 0;
  return later ? undefined : localDate(at, claim.zone);
}
