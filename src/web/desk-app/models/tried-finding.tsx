import type { ReactNode } from 'react';
import type { Finding } from '../../../diagnosis/diagnosis.contract.js';
import { sentenceCase, showChance } from '../../domain/trade-words.js';
import { Mark, Note } from '../parts/parts.js';
import { ShareBar, Weight } from './weights.js';

const MOST_SHOWN = 6;

/** A finding as the model makes it of what was ticked. */
export function TriedFinding({ finding }: { readonly finding: Finding }): ReactNode {
  const shown = finding.explanations.slice(0, MOST_SHOWN);
  const leading = finding.explanations[0];
  return (
    <section className="sheet stack">
      <div className="row spread">
        <h2>{finding.title.en}</h2>
        {finding.verdict === 'settled' ? (
          <Mark shape="tick" tone="ok" says="Clear enough" />
        ) : (
          <Mark shape="triangle" tone="warn" says="To a person" />
        )}
      </div>
      {finding.reasons.length === 0 ? null : (
        <Note tone="warn" title="Why it goes to a person:">
          <ul>
            {finding.reasons.map((reason) => (
              <li key={reason}>{reason}</li>
            ))}
          </ul>
        </Note>
      )}
      <table className="bars">
        <caption>How likely each explanation is; the doubt left is {finding.entropyBits.toFixed(2)} bits.</caption>
        <thead>
          <tr>
            <th scope="col">Explanation</th>
            <th scope="col">
              <span className="away">Bar</span>
            </th>
            <th scope="col" className="amount">
              Likely
            </th>
          </tr>
        </thead>
        <tbody>
          {shown.map(({ id, fault, component, origin, probability, severity }) => (
            <tr key={id}>
              <th scope="row">
                {sentenceCase(fault)}
                <span className="sub">
                  {component} · from {origin}
                  {severity === 'unsafe' ? ' · unsafe' : ''}
                </span>
              </th>
              <td>
                <ShareBar share={probability} />
              </td>
              <td className="figures">{showChance(probability)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {leading === undefined ? null : (
        <table>
          <caption>What spoke for and against “{leading.fault}”, given everything else, strongest first.</caption>
          <thead>
            <tr>
              <th scope="col">Sign</th>
              <th scope="col">Weight</th>
            </tr>
          </thead>
          <tbody>
            {finding.evidence.map(({ observation, says, sighting, decibans, counted }) => (
              <tr key={observation}>
                <td>
                  {sentenceCase(says)}
                  <span className="sub">
                    {sighting === 'present' ? 'was seen' : 'was looked for and is not there'}
                    {counted ? '' : '; said by a stronger sign already, not counted twice'}
                  </span>
                </td>
                <td>{counted ? <Weight decibans={decibans} /> : '–'}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}
