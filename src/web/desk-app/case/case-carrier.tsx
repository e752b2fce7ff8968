import type { ReactNode } from 'react';
import type { Assessment, CarrierCase } from '../../../adjudication/adjudication.contract.js';
import type { StateMark } from '../../domain/state-marks.js';
import { sentenceCase } from '../../domain/trade-words.js';
import type { CaseData } from '../../case-data.js';
import { Caution, Mark } from '../parts/parts.js';

const STANDINGS: Readonly<Record<CarrierCase['standing'], StateMark>> = {
  'prima facie': { says: 'Stands', shape: 'tick', tone: 'ok' },
  incomplete: { says: 'Incomplete', shape: 'half', tone: 'warn' },
  rebutted: { says: 'Rebutted', shape: 'cross', tone: 'bad' },
  barred: { says: 'Barred', shape: 'cross', tone: 'bad' },
};

const SHOWN: Readonly<Record<CarrierCase['elements'][number]['state'], StateMark>> = {
  met: { says: 'Shown', shape: 'tick', tone: 'ok' },
  missing: { says: 'Missing', shape: 'ring', tone: 'warn' },
  contradicted: { says: 'Contradicted', shape: 'cross', tone: 'bad' },
};

/** The carrier's limbs: what it has not shown does not weigh against the claim. */
const REBUTTED: typeof SHOWN = {
  met: { says: 'Shown', shape: 'cross', tone: 'bad' },
  missing: { says: 'Not shown', shape: 'ring', tone: 'plainly' },
  contradicted: { says: 'Contradicted', shape: 'tick', tone: 'ok' },
};

/** What a case against the carrier stands on, element by element. It never decides what the customer gets. */
export function CarrierCases({ view }: { readonly view: CaseData }): ReactNode {
  const cases = carrierCases(view.assessment);
  if (cases.length === 0) return null;
  const title = (about: string) =>
    view.assessment?.findings.find(({ subject }) => subject === about)?.title.en ?? 'The claim';
  return (
    <section className="sheet stack" id="carrier">
      <h2>Against the carrier</h2>
      {cases.map((each) => (
        <div key={each.about} className="finding stack">
          <div className="row spread">
            <h3>{title(each.about)}</h3>
            <Mark {...STANDINGS[each.standing]} />
          </div>
          <p>{each.because}</p>
          <table className="cards">
            <caption className="away">What the case against the carrier stands on</caption>
            <thead>
              <tr>
                <th scope="col">Element</th>
                <th scope="col">State</th>
                <th scope="col">Why</th>
              </tr>
            </thead>
            <tbody>
              {[...each.elements, ...each.rebuttal].map((element) => (
                <tr key={element.says}>
                  <th scope="row">
                    {sentenceCase(element.says)}
                    {element.weighs === 'rebuttal' ? <span className="sub">for the carrier to show</span> : null}
                  </th>
                  <td>
                    <Mark {...(element.weighs === 'rebuttal' ? REBUTTED : SHOWN)[element.state]} />
                  </td>
                  <td data-label="Why">
                    {element.because}
                    {element.mend === null ? null : <span className="sub">To mend it: {element.mend}</span>}
                    <span className="sub">{element.source}</span>
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      ))}
      <Caution />
    </section>
  );
}

/** Claims that were assessed by an earlier release have no such list. */
function carrierCases(assessment: Assessment | undefined): readonly CarrierCase[] {
  return (assessment as Partial<Assessment> | undefined)?.elements ?? [];
}
