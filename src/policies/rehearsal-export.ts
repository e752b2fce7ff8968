import { showClaimNumber } from '../kernel/claim-number.js';
import { moneyDecimal } from '../kernel/money.js';
import { csvLine } from './domain/csv-line.js';
import type { ClaimSide, RehearsalChange } from './rehearsals.contract.js';

const COLUMNS = [
  'claim',
  'retailer',
  'carrier',
  'maker',
  'changes in',
  'currency',
  'remedy was',
  'remedy becomes',
  'answers was',
  'answers becomes',
  'customer was',
  'customer becomes',
  'customer difference',
  'cost was',
  'cost becomes',
  'verdict was',
  'verdict becomes',
  'cannot be applied because',
] as const;

/** Changed claims as comma-separated values (RFC 4180), one a line under a header; amounts are decimals of the currency. */
export async function* changesAsCsv(
  pages: AsyncIterable<readonly RehearsalChange[]>,
): AsyncGenerator<string, void, undefined> {
  yield csvLine(COLUMNS);
  for await (const changes of pages) yield changes.map((change) => csvLine(rowOf(change))).join('');
}

/** Changed claims as one JSON list, as the interface shows them. */
export async function* changesAsJson(
  pages: AsyncIterable<readonly RehearsalChange[]>,
): AsyncGenerator<string, void, undefined> {
  let before = '[\n';
  for await (const changes of pages) {
    if (changes.length === 0) continue;
    yield before + changes.map((change) => JSON.stringify(change)).join(',\n');
    before = ',\n';
  }
  yield before === '[\n' ? '[]\n' : '\n]\n';
}

function rowOf({ number, parties, kinds, currency, was, becomes, problem = '' }: RehearsalChange): string[] {
  const money = (amountMinor: number): string => moneyDecimal({ amountMinor, currency });
  const after = <T>(of: (side: ClaimSide) => T): T | '' => (becomes === null ? '' : of(becomes));
  return [
    number === null ? '' : showClaimNumber(number),
    parties.retailer,
    parties.carrier,
    parties.maker,
    kinds.join(', '),
    currency,
    was.remedies.join(', '),
    after(({ remedies }) => remedies.join(', ')),
    answers(was),
    after(answers),
    money(was.customerMinor),
    after(({ customerMinor }) => money(customerMinor)),
    after(({ customerMinor }) => money(customerMinor - was.customerMinor)),
    money(was.costMinor),
    after(({ costMinor }) => money(costMinor)),
    was.verdict,
    after(({ verdict }) => verdict),
    problem,
  ];
}

function answers({ responsible }: ClaimSide): string {
  return responsible
    .map(({ about, shares }) => `${about}: ${shares.map(({ party, bp }) => `${party} ${bp / 100} %`).join(' + ')}`)
    .join('; ');
}
