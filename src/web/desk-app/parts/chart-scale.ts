/** One line of a chart and of its table. */
export interface ChartRow {
  /** What the line is about: a month, a party, a rule. */
  readonly says: string;
  /** Beneath it in small letters: what tells it from others of the same name. */
  readonly sub?: string | undefined;
  /** One for each series; null where nothing can be said. */
  readonly values: readonly (number | null)[];
  /** Bounds of the first value, drawn as a whisker and told in the table. */
  readonly between?: readonly [low: number, high: number] | undefined;
  /** Further cells of the table, in the order of its further columns. */
  readonly more?: readonly (string | number)[] | undefined;
}

/** Steps at which an axis may end; each is a round number to a reader. */
const ENDS = [1, 2, 2.5, 5, 10] as const;

/** A row's name among the others of its chart. */
export function nameOf({ says, sub }: ChartRow): string {
  return sub === undefined ? says : `${says} (${sub})`;
}

/** Where an axis that begins at 0 ends: the first round number that is no less than what it must show. @returns 1 where all is 0 */
export function axisEnd(highest: number): number {
  if (!(highest > 0)) return 1;
  const power = 10 ** Math.floor(Math.log10(highest));
  const step = ENDS.find((each) => each * power >= highest * (1 - 1e-12)) ?? 10;
  return step * power;
}

/** The highest thing that rows put on an axis. @param stacked whether the values of a row stand on one another */
export function highestOf(rows: readonly ChartRow[], stacked: boolean): number {
  return Math.max(
    0,
    ...rows.map(({ values, between }) => {
      const known = values.filter((value) => value !== null);
      const top = stacked ? known.reduce((sum, value) => sum + value, 0) : Math.max(0, ...known);
      return Math.max(top, between?.[1] ?? 0);
    }),
  );
}

/** A part of a stacked bar, in hundredths of the axis. */
export interface Segment {
  readonly series: number;
  readonly value: number;
  readonly from: number;
  readonly width: number;
}

/** The parts of a row that stand on one another; what is 0 or unknown has no part. */
export function segmentsOf(values: readonly (number | null)[], end: number): readonly Segment[] {
  let from = 0;
  return values.flatMap((value, series) => {
    if (value === null || value <= 0) return [];
    const width = (value / end) * 100;
    from += width;
    return [{ series, value, from: from - width, width }];
  });
}
