import { csvRow } from '../../domain/csv-fields.js';
import type { ChartProps } from './chart.js';
import { nameOf } from './chart-scale.js';

/** A value as people read it. @param show how; absent: as a number @returns a dash where nothing can be said */
export function shownBy(show: ((value: number) => string) | undefined, value: number | null): string {
  if (value === null) return '–';
  return show === undefined ? value.toLocaleString('en-GB') : show(value);
}

/** The table as comma-separated values under the same heads; what nobody knows is empty. */
export function csvOf({ rowHead, series, rows, more = [], unit, plain = (value) => value }: ChartProps): string {
  const between = rows.some((row) => row.between !== undefined);
  const told = (value: number | null | undefined) => (value === null || value === undefined ? '' : plain(value));
  const lines = rows.map((row) =>
    csvRow([
      nameOf(row),
      ...series.map((_, n) => told(row.values[n])),
      ...(between ? [told(row.between?.[0]), told(row.between?.[1])] : []),
      ...more.map((_, n) => row.more?.[n] ?? ''),
    ]),
  );
  const heads = unit === undefined ? series : series.map((says) => `${says} (${unit})`);
  return csvRow([rowHead, ...heads, ...(between ? ['low (95 %)', 'high (95 %)'] : []), ...more]) + lines.join('');
}
