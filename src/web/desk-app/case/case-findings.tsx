import type { ReactNode } from 'react';
import type { AssessedFinding } from '../../../adjudication/adjudication.contract.js';
import { sentenceCase, showChance, weightWords } from '../../domain/trade-words.js';
import type { CaseData } from '../../case-data.js';
import { Mark, Note } from '../parts/parts.js';

/** What is broken and why: every finding with its explanations and what spoke for and against the leading one. */
export function Findings({ view }: { readonly view: CaseData }): ReactNode {
  const assessment = view.assessment;
  if (assessment === undefined) return null;
  return (
    <section className="sheet" id="findings">
      <h2>What is broken, and why</h2>
      {assessment.findings.length === 0 ? (
        <p className="quiet">No damage was found; the claim rests on its ground alone.</p>
      ) : null}
      {assessment.findings.map((finding) => (
        <FindingPart key={finding.subject} finding={finding} view={view} />
      ))}
    </section>
  );
}

function FindingPart({ finding, view }: { readonly finding: AssessedFinding; readonly view: CaseData }): ReactNode {
  const shown = finding.explanations.slice(0, 6);
  const rest = finding.explanations.length - shown.length;
  return (
    <div className="finding stack">
      <div className="row spread">
        <h3>{finding.title.en}</h3>
        {finding.verdict === 'settled' ? (
          <Mark shape="tick" tone="ok" says="Clear enough" />
        ) : (
          <Mark shape="triangle" tone="warn" says="To a person" />
        )}
      </div>
      {finding.reasons.length === 0 ? null : (
        <Note tone="warn" title="Why the service leaves it to you:">
          <ul>
            {finding.reasons.map((reason) => (
              <li key={reason}>{reason}</li>
            ))}
          </ul>
        </Note>
      )}
      <table className="bars">
        <caption>How likely each explanation is (evidence {finding.evidenceGrade})</caption>
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
          {shown.map((explanation, index) => (
            <tr key={`${explanation.fault} ${explanation.component} ${explanation.origin}`}>
              <th scope="row">
                {sentenceCase(explanation.fault)}
                <span className="sub">
                  {explanation.component} · from {explanation.origin}
                  {explanation.severity === 'unsafe' ? ' · unsafe' : ''}
                </span>
              </th>
              <td>
                <svg viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
                  <rect className="track" width="100" height="10" />
                  <rect
                    className={index === 0 ? 'fill' : 'other'}
                    width={Math.max(0.5, explanation.probability * 100)}
                    height="10"
                  />
                </svg>
              </td>
              <td className="figures">{showChance(explanation.probability)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {rest > 0 ? <p className="small quiet">and {rest} that are less likely still.</p> : null}
      <Evidence finding={finding} />
      {finding.notChecked.length === 0 ? null : (
        <details>
          <summary>Not checked ({finding.notChecked.length})</summary>
          <ul>
            {finding.notChecked.map((code) => (
              <li key={code}>{sentenceCase(view.says[code] ?? code)}</li>
            ))}
          </ul>
        </details>
      )}
    </div>
  );
}

/** How many signs stand open on the page; the weaker ones are folded away. */
const STRONGEST = 8;

function Evidence({ finding }: { readonly finding: AssessedFinding }): ReactNode {
  const strong = finding.evidence.slice(0, STRONGEST);
  const rest = finding.evidence.slice(STRONGEST);
  if (strong.length === 0) return null;
  const caption = `What spoke for and against “${finding.leading.fault}”, strongest first. 3 decibans double the odds, 10 make them tenfold.`;
  return (
    <>
      <EvidenceTable signs={strong} caption={caption} />
      {rest.length === 0 ? null : (
        <details>
          <summary>Weaker signs ({rest.length})</summary>
          <EvidenceTable signs={rest} caption="Signs that say less, or what a stronger one has said already" />
        </details>
      )}
    </>
  );
}

function EvidenceTable(props: { readonly signs: AssessedFinding['evidence']; readonly caption: string }): ReactNode {
  return (
    <table className="cards">
      <caption>{props.caption}</caption>
      <thead>
        <tr>
          <th scope="col">Seen or not</th>
          <th scope="col">What it says</th>
          <th scope="col">
            <span className="away">Bar: to the right for it, to the left against it</span>
          </th>
          <th scope="col" className="amount">
            Decibans
          </th>
        </tr>
      </thead>
      <tbody>
        {props.signs.map(({ says, sighting, decibans, counted }) => (
          <tr key={says}>
            <td>
              {sentenceCase(says)}
              <span className="sub">{sighting === 'present' ? 'was seen' : 'was looked for and not there'}</span>
            </td>
            <td data-label="Says">
              {counted ? sentenceCase(weightWords(decibans)) : 'Said by a stronger sign already; not counted twice'}
            </td>
            <td data-label="Weight">
              <WeightBar decibans={counted ? decibans : 0} />
            </td>
            <td data-label="Decibans" className="amount">
              {decibans > 0 ? '+' : decibans < 0 ? '\u2212' : ''}
              {Math.abs(decibans).toFixed(1)}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** A bar from the middle: to the right what speaks for, to the left what speaks against; 20 decibans and more fill it. */
function WeightBar({ decibans }: { readonly decibans: number }): ReactNode {
  const length = Math.min(Math.abs(decibans), 20) * 2.5;
  return (
    <svg className="weight" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
      <rect className="track" width="100" height="10" />
      <rect
        className={decibans < 0 ? 'other' : 'fill'}
        x={decibans < 0 ? 50 - length : 50}
        width={length}
        height="10"
      />
      <path d="M50 0V10" stroke="currentColor" vectorEffect="non-scaling-stroke" />
    </svg>
  );
}
