import type { ReactNode } from 'react';
import type { WarrantyTerm } from '../../../catalogue/catalogue.contract.js';
import type { CaseData } from '../../case-data.js';
import { count, showDate } from '../../domain/time-words.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { useModel } from '../api/visits.js';
import { Caution } from '../parts/parts.js';
import { Failing } from '../parts/states.js';

/** What the maker promises for the unit, component by component, and until when. */
export function Warranty({ view: { visit, line } }: { readonly view: CaseData }): ReactNode {
  const sku = visit.units.find(({ serial }) => serial === line.serial)?.sku ?? '';
  const found = useModel(sku);
  const from =
    visit.deliveredAt === null
      ? undefined
      : Temporal.Instant.from(visit.deliveredAt).toZonedDateTimeISO(visit.zone).toPlainDate();
  return (
    <section className="sheet stack" id="warranty">
      <h2>Warranty</h2>
      {found.isError && found.data === undefined ? (
        <Failing trouble={found.error} again={() => void found.refetch()} />
      ) : null}
      {found.data?.warranty.length === 0 ? <p className="quiet">The maker promises nothing for this model.</p> : null}
      {found.data !== undefined && found.data.warranty.length > 0 ? (
        <table className="cards">
          <caption>
            {found.data.maker}, {found.data.sku}
            {from === undefined
              ? '; the time runs from delivery, which is not noted yet'
              : `, from ${showDate(from.toString())}`}
          </caption>
          <thead>
            <tr>
              <th scope="col">Component</th>
              <th scope="col">Full cover</th>
              <th scope="col">Then a part of it</th>
            </tr>
          </thead>
          <tbody>
            {found.data.warranty.map((term) => (
              <tr key={term.component}>
                <th scope="row">{sentenceCase(term.component)}</th>
                <td data-label="Full cover">{coverWords(term.fullMonths, from, term.fullMonths)}</td>
                <td data-label="Then a part of it">
                  {coverWords(term.proRataMonths, from, term.fullMonths + term.proRataMonths)}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      ) : null}
      <Caution />
    </section>
  );
}

/** Cover ends on the day on which its last month is complete, so that the day before is the last one. */
function coverWords(
  months: WarrantyTerm['fullMonths'],
  from: Temporal.PlainDate | undefined,
  endMonths: number,
): string {
  if (months === 0) return 'None';
  const length = count(months, 'month');
  if (from === undefined) return length;
  return `${length}, until ${showDate(from.add({ months: endMonths }).subtract({ days: 1 }).toString())}`;
}
