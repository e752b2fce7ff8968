import type { ReactNode } from 'react';
import type { MoneySums } from '../../../policies/rehearsals.contract.js';
import { showMoney } from '../../domain/money-words.js';
import { count } from '../../domain/time-words.js';

/** An amount with its sign, for differences: "+6.00 USD", "−6.00 USD". */
export function showDifference(amountMinor: number, currency: string): string {
  return amountMinor > 0 ? `+${showMoney(amountMinor, currency)}` : showMoney(amountMinor, currency);
}

/** What customers get and what it costs, before and after, in a sentence each for each currency. */
export function MoneyWords({ money }: { readonly money: readonly MoneySums[] }): ReactNode {
  return money.map((sums) => (
    <p key={sums.currency}>
      {turnWords('Customers get', sums.customerWasMinor, sums.customerBecomesMinor, sums.currency)}
      {sums.more + sums.less === 0
        ? '.'
        : `: ${count(sums.more, 'claim')} more, ${count(sums.less, 'claim')} less.`}{' '}
      {turnWords('It costs', sums.costWasMinor, sums.costBecomesMinor, sums.currency)} in all.
    </p>
  ));
}

function turnWords(says: string, wasMinor: number, becomesMinor: number, currency: string): string {
  if (wasMinor === becomesMinor) return `${says} ${showMoney(wasMinor, currency)} as before`;
  const difference = showDifference(becomesMinor - wasMinor, currency);
  return `${says} ${showMoney(becomesMinor, currency)} in place of ${showMoney(wasMinor, currency)} (${difference})`;
}

/** Money before and after, by currency, to the minor unit. */
export function MoneyTable({ money }: { readonly money: readonly MoneySums[] }): ReactNode {
  return (
    <div className="scroll" tabIndex={0} role="region" aria-label="Money before and after">
      <table>
        <caption>Sums over all claims that were gone through and come out either way.</caption>
        <thead>
          <tr>
            <th scope="col">Money</th>
            <th scope="col" className="amount">
              Before
            </th>
            <th scope="col" className="amount">
              After
            </th>
            <th scope="col" className="amount">
              Difference
            </th>
          </tr>
        </thead>
        <tbody>
          {money.flatMap(({ currency, customerWasMinor, customerBecomesMinor, costWasMinor, costBecomesMinor }) =>
            [
              ['To customers', customerWasMinor, customerBecomesMinor] as const,
              ['Cost in all', costWasMinor, costBecomesMinor] as const,
            ].map(([says, was, becomes]) => (
              <tr key={`${currency} ${says}`}>
                <th scope="row">
                  {says}, {currency}
                </th>
                <td className="amount">{showMoney(was, currency)}</td>
                <td className="amount">{showMoney(becomes, currency)}</td>
                <td className="amount">{showDifference(becomes - was, currency)}</td>
              </tr>
            )),
          )}
        </tbody>
      </table>
    </div>
  );
}
