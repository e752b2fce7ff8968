import { showClaimNumber } from '../../kernel/claim-number.js';
import { moneyDecimal } from '../../kernel/money.js';
import type { ClaimState, Ground, Remedy } from '../../kernel/vocabulary.js';

/** What of a claim goes into a file for the retailer. */
export interface ExportedLine {
  readonly number: string | null;
  readonly orderReference: string;
  readonly model: string;
  readonly serial: string;
  readonly ground: Ground;
  readonly state: ClaimState;
  readonly outcome: string | null;
  readonly remedies: readonly Remedy[];
  readonly totalMinor: number | null;
  readonly currency: string;
  /** What happens next, in words. */
  readonly next: string;
  readonly promisedAt: string | null;
  readonly openedAt: string;
  readonly updatedAt: string;
}

/** The columns of a file, in their order. */
export const EXPORT_COLUMNS = [
  'claim',
  'order',
  'item',
  'serial',
  'about',
  'state',
  'outcome',
  'remedies',
  'amount',
  'currency',
  'next',
  'next by',
  'opened',
  'changed',
] as const;
export type ExportColumn = (typeof EXPORT_COLUMNS)[number];

/** What stands in a column. What is not decided yet stays inside the house, so that it is empty here. */
const CELLS: Readonly<Record<ExportColumn, (line: ExportedLine) => string>> = {
  claim: ({ number }) => (number === null ? '' : showClaimNumber(number)),
  order: ({ orderReference }) => orderReference,
  item: ({ model }) => model,
  serial: ({ serial }) => serial,
  about: ({ ground }) => ground,
  state: ({ state }) => state,
  outcome: ({ outcome }) => outcome ?? '',
  remedies: ({ outcome, remedies }) => (outcome === null ? '' : remedies.join('; ')),
  amount: ({ outcome, totalMinor, currency }) =>
    outcome === null || totalMinor === null ? '' : moneyDecimal({ amountMinor: totalMinor, currency }),
  currency: ({ currency }) => currency,
  next: ({ next }) => next,
  'next by': ({ promisedAt }) => promisedAt ?? '',
  opened: ({ openedAt }) => openedAt,
  changed: ({ updatedAt }) => updatedAt,
};

/** First line of the file of comma-separated values (RFC 4180). */
export function csvHead(columns: readonly ExportColumn[]): string {
  return `${columns.join(',')}\r\n`;
}

/** One claim as a line of comma-separated values (RFC 4180); text that a spreadsheet would run as a formula is led in by an apostrophe. */
export function csvLine(line: ExportedLine, columns: readonly ExportColumn[]): string {
  return `${columns.map((name) => field(CELLS[name](line))).join(',')}\r\n`;
}

/** One claim as an object for other programs; amounts are decimals as text, instants RFC 3339. */
export function jsonLine(line: ExportedLine, columns: readonly ExportColumn[]): string {
  return JSON.stringify(Object.fromEntries(columns.map((name) => [name, CELLS[name](line)])));
}

/**
 * A spreadsheet takes text for a formula that begins with one of these signs, also behind spaces that it trims; their wide forms of East
 * Asian keyboards are read alike.
 */
function field(text: string): string {
  const safe = /^\s*[=+\-@\t\r\uff1d\uff0b\uff0d\uff20]/.test(text) ? `'${text}` : text;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
