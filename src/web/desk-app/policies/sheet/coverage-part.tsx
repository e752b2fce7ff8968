import { Fragment, type ReactNode } from 'react';
import type { DecisionCoverage, ExampleCoverage } from '../../../../policies/analysis.contract.js';
import type { PolicyDocument, PolicyExample } from '../../../../policies/policies.contract.js';
import { count } from '../../../domain/time-words.js';
import { OTHERWISE } from './decision-grid.js';
import type { EditPlace } from './draft-history.js';
import { placeOfFault } from './fault-places.js';
import { outcomeText } from './written-values.js';

interface CoverageProps {
  readonly document: PolicyDocument;
  /** Undefined while nothing has run yet. */
  readonly coverage: ExampleCoverage | undefined;
  readonly onGo: (place: EditPlace) => void;
  readonly onExample?: ((example: PolicyExample) => void) | undefined;
}

/** What the examples try of each table, and examples that would try the rest. */
export function CoveragePart({ document, coverage, onGo, onExample }: CoverageProps): ReactNode {
  if (coverage === undefined) return <p>The examples are counted as soon as every cell can be read.</p>;
  const { decisions, rulesPercent, boundariesPercent, candidates } = coverage;
  return (
    <div className="stack">
      <p>
        The examples make {rulesPercent} of 100 rules decide, and lie on {boundariesPercent} of 100 sides of the
        boundaries between numbers and dates that the cells name.
      </p>
      <div className="scroll" role="region" aria-label="Coverage of each table" tabIndex={0}>
        <table>
          <caption className="away">What the examples try</caption>
          <thead>
            <tr>
              <th scope="col">Table</th>
              <th scope="col" className="amount">
                Rules tried
              </th>
              <th scope="col" className="amount">
                Sides tried
              </th>
              <th scope="col">Not tried</th>
            </tr>
          </thead>
          <tbody>
            {decisions.map((of) => (
              <Line key={of.decision} of={of} document={document} onGo={onGo} />
            ))}
          </tbody>
        </table>
      </div>
      {candidates.length === 0 ? null : (
        <>
          <h3>Examples that would try the rest</h3>
          <p>Each expects what the policy says today. Put that right first where it is wrong.</p>
          <ul>
            {candidates.map((example) => (
              <li key={example.id}>
                {words(example)}{' '}
                {onExample === undefined ? null : (
                  <button type="button" className="linklike" onClick={() => onExample(example)}>
                    Keep it as an example<span className="away">: {example.id}</span>
                  </button>
                )}
              </li>
            ))}
          </ul>
        </>
      )}
    </div>
  );
}

function Line({
  of,
  document,
  onGo,
}: {
  readonly of: DecisionCoverage;
  readonly document: PolicyDocument;
  readonly onGo: (place: EditPlace) => void;
}): ReactNode {
  const { decision, rules, rulesHit, sides, sidesTouched, neverHit, untouched } = of;
  return (
    <tr>
      <th scope="row">{decision}</th>
      <td className="amount">
        {rulesHit} of {rules}
      </td>
      <td className="amount">
        {sidesTouched} of {sides}
      </td>
      <td>
        {neverHit.map((rule) => (
          <Fragment key={rule}>
            <button
              type="button"
              className="linklike"
              onClick={() => onGo(placeOfFault(document, { decision, rule, detail: '' }))}
            >
              {rule === OTHERWISE ? 'the last row' : rule}
            </button>{' '}
          </Fragment>
        ))}
        {untouched.length === 0 ? null : (
          <details>
            <summary>{count(untouched.length, 'side')} of boundaries</summary>
            <ul>
              {untouched.map(({ column, words: end, side, expression }) => (
                <li key={`${column} ${end} ${side}`}>
                  {expression} {end}, {side}
                </li>
              ))}
            </ul>
          </details>
        )}
      </td>
    </tr>
  );
}

function words({ on, given, expect }: PolicyExample): string {
  const list = (of: PolicyExample['expect'] | PolicyExample['given']): string =>
    Object.entries(of)
      .map(([name, value]) => `${name} ${outcomeText(value)}`)
      .join(', ');
  return `On ${on}, ${list(given)}: ${list(expect)}.`;
}
