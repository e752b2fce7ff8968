import { showClaimNumber } from '../../kernel/claim-number.js';
import { moneyDecimal } from '../../kernel/money.js';
import type { ClaimState, Ground, Remedy } from '../../kernel/vocabulary.js';
import { csvRow } from './csv-fields.js';

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
  readonly dueAt: string | null;
  readonly openedAt: string;
  readonly updatedAt: string;
}

const COLUMNS = [
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
  'next by',
  'opened',
  'changed',
] as const;

type Row = Readonly<Record<(typeof COLUMNS)[number], string>>;

/** A claim as text under the names of the columns. What is not decided yet stays inside the house, so that it is empty here. */
function rowOf(line: ExportedLine): Row {
  const decided = line.outcome !== null;
  return {
    claim: line.number === null ? '' : showClaimNumber(line.number),
    order: line.orderReference,
    item: line.model,
    serial: line.serial,
    about: line.ground,
    state: line.state,
    outcome: line.outcome ?? '',
    remedies: decided ? line.remedies.join('; ') : '',
    amount:
      decided && line.totalMinor !== null
        ? moneyDecimal({ amountMinor: line.totalMinor, currency: line.currency })
        : '',
    currency: line.currency,
    'next by': line.dueAt ?? '',
    opened: line.openedAt,
    changed: line.updatedAt,
  };
}

/** First line of the file of comma-separated values. */
export const CSV_HEAD = `${COLUMNS.join(',')}\r\n`;

/** One claim as a line of comma-separated values (RFC 4180); text that a spreadsheet would run as a formula is led in by an apostrophe. */
export function csvLine(line: ExportedLine): string {
  const row = rowOf(line);
  return csvRow(COLUMNS.map((name) => row[name]));
}

/** One claim as an object for other programs; amounts are decimals as text, instants RFC 3339. */
export function jsonLine(line: ExportedLine): string {
  return JSON.stringify(rowOf(line));
}
