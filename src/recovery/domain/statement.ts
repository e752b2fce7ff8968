/** Days since a demand was sent, in the bands of a statement. */
export const BANDS = ['0 to 30', '31 to 60', '61 to 90', 'over 90'] as const;
export type Band = (typeof BANDS)[number];

/** What is owed, by band, in minor units of one currency. */
export interface Ageing {
  readonly currency: string;
  readonly bands: Readonly<Record<Band, number>>;
  readonly totalMinor: number;
}

/** The band of a demand's age in whole days; a demand dated later counts as new. */
export function bandOf(days: number): Band {
  if (days <= 30) return '0 to 30';
  if (days <= 60) return '31 to 60';
  return days <= 90 ? '61 to 90' : 'over 90';
}

/** Whole days from one instant to another, counted in UTC days of 24 hours. */
export function daysOld(sentAt: string, asOf: string): number {
  const hours = Temporal.Instant.from(sentAt).until(Temporal.Instant.from(asOf), { largestUnit: 'hours' }).hours;
  return Math.floor(hours / 24);
}

/** What is owed in each currency by age, in the order of currency codes. */
export function ageingOf(
  owed: readonly { readonly currency: string; readonly sentAt: string; readonly outstandingMinor: number }[],
  asOf: string,
): Ageing[] {
  const byCurrency = Map.groupBy(owed, ({ currency }) => currency);
  return [...byCurrency.keys()].sort().map((currency) => {
    const bands: Record<Band, number> = { '0 to 30': 0, '31 to 60': 0, '61 to 90': 0, 'over 90': 0 };
    for (const { sentAt, outstandingMinor } of byCurrency.get(currency) ?? []) {
      bands[bandOf(daysOld(sentAt, asOf))] += outstandingMinor;
    }
    return { currency, bands, totalMinor: BANDS.reduce((sum, band) => sum + bands[band], 0) };
  });
}

/** One record of comma-separated values (RFC 4180). A cell that a spreadsheet would run as a formula gets an apostrophe in front. */
export function csvRecord(cells: readonly (string | number)[]): string {
  return `${cells.map(csvCell).join(',')}\r\n`;
}

function csvCell(cell: string | number): string {
  if (typeof cell === 'number') return String(cell);
  const safe = /^[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
