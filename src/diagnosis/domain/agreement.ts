import type { Kappa, Share } from '../learning.contract.js';

/** Two-sided 95 % quantile of the normal distribution. */
const Z = 1.959963984540054;

/** How often one rater said `row` where the other said `column`. */
export interface Cell {
  readonly row: string;
  readonly column: string;
  readonly count: number;
}

/**
 * Cohen's kappa (1960) of a square table given by its cells, with the asymptotic standard error of Fleiss, Cohen and Everitt
 * (Psychological Bulletin 72, 1969), which does not suppose kappa to be 0.
 * @returns undefined where there are no cases, or all are of one class: agreement by chance is then 1 and kappa says nothing
 */
export function cohensKappa(cells: readonly Cell[]): Kappa | undefined {
  const cases = cells.reduce((sum, cell) => sum + cell.count, 0);
  if (cases === 0) return undefined;
  const rows = sums(cells, 'row', cases);
  const columns = sums(cells, 'column', cases);
  const ofRow = (label: string): number => rows.get(label) ?? 0;
  const ofColumn = (label: string): number => columns.get(label) ?? 0;
  // From whole counts, so that rounding cannot hide a chance agreement of exactly 1.
  if (rows.size === 1 && columns.size === 1 && rows.keys().next().value === columns.keys().next().value)
    return undefined;
  const agreeing = cells.filter((cell) => cell.row === cell.column);
  const observed = agreeing.reduce((sum, cell) => sum + cell.count, 0) / cases;
  const expected = [...rows].reduce((sum, [label, share]) => sum + share * ofColumn(label), 0);
  const kappa = (observed - expected) / (1 - expected);
  let diagonal = 0;
  let beside = 0;
  for (const { row, column, count } of cells) {
    const share = count / cases;
    if (row === column) diagonal += share * (1 - expected - (ofRow(row) + ofColumn(row)) * (1 - observed)) ** 2;
    else beside += share * (ofColumn(row) + ofRow(column)) ** 2;
  }
  const inner = diagonal + (1 - observed) ** 2 * beside - (observed * expected - 2 * expected + observed) ** 2;
  const standardError = Math.sqrt(Math.max(0, inner) / cases) / (1 - expected) ** 2;
  return {
    kappa,
    standardError,
    low: Math.max(-1, kappa - Z * standardError),
    high: Math.min(1, kappa + Z * standardError),
    observed,
    expected,
    cases,
  };
}

function sums(cells: readonly Cell[], by: 'row' | 'column', cases: number): Map<string, number> {
  const counts = new Map<string, number>();
  for (const cell of cells) if (cell.count > 0) counts.set(cell[by], (counts.get(cell[by]) ?? 0) + cell.count);
  return new Map([...counts].map(([label, count]) => [label, count / cases]));
}

/**
 * Two-sided exact McNemar test (McNemar 1947; exact by the binomial distribution with probability 1/2) of two raters that are right
 * on the same cases or not: of the cases on which only one is right, is either favoured?
 * @returns twice the lower tail of the smaller count, at most 1; 1 where the two never differ
 * @throws RangeError when a count is negative or no whole number
 */
export function mcnemarExact(onlyFirst: number, onlySecond: number): number {
  if (![onlyFirst, onlySecond].every((count) => Number.isSafeInteger(count) && count >= 0))
    throw new RangeError('counts of cases are whole numbers from 0');
  const trials = onlyFirst + onlySecond;
  const least = Math.min(onlyFirst, onlySecond);
  // Each term from the one before in logarithms, relative to the greatest (the last), so that many trials do not underflow.
  const logs: number[] = [-trials * Math.LN2];
  for (let k = 1; k <= least; k += 1) logs.push((logs[k - 1] ?? 0) + Math.log((trials - k + 1) / k));
  const most = logs[least] ?? 0;
  const tail = Math.exp(most) * logs.reduce((sum, log) => sum + Math.exp(log - most), 0);
  return Math.min(1, 2 * tail);
}

/**
 * A share of cases with its 95 % score interval (Wilson 1927), which stays within 0 and 1 for small counts.
 * @returns undefined of no cases
 * @throws RangeError when the count is not within 0 and the number of cases
 */
export function shareOf(count: number, of: number): Share | undefined {
  if (!Number.isSafeInteger(count) || !Number.isSafeInteger(of) || count < 0 || count > of)
    throw new RangeError('a count lies between 0 and the number of cases');
  if (of === 0) return undefined;
  const share = count / of;
  const widened = 1 + (Z * Z) / of;
  const centre = (share + (Z * Z) / (2 * of)) / widened;
  const half = (Z / widened) * Math.sqrt((share * (1 - share)) / of + (Z * Z) / (4 * of * of));
  return {
    count,
    of,
    share,
    low: count === 0 ? 0 : Math.max(0, centre - half),
    high: count === of ? 1 : Math.min(1, centre + half),
  };
}
