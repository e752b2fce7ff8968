import { Link } from '@tanstack/react-router';
import { useState, type ReactNode } from 'react';
import type { ExampleResult } from '../../../../policies/analysis.contract.js';
import type { PolicyDocument, PolicyExample } from '../../../../policies/policies.contract.js';
import { count, showDate } from '../../../domain/time-words.js';
import { Mark } from '../../parts/mark.js';
import { Empty } from '../../parts/states.js';
import { removeExample } from './document-edits.js';
import { outcomeText } from './written-values.js';

interface ExamplesProps {
  readonly document: PolicyDocument;
  readonly version: number;
  /** Undefined while nothing has run yet. */
  readonly results: readonly ExampleResult[] | undefined;
  readonly onWrite?: ((document: PolicyDocument) => void) | undefined;
}

/** The worked examples of a policy and how each comes out, those that fail first. */
export function ExamplesPart(props: ExamplesProps): ReactNode {
  const { document, results, version } = props;
  const [find, setFind] = useState('');
  const byId = new Map(results?.map((result) => [result.id, result]));
  const failed = results?.filter(({ passed }) => !passed).length ?? 0;
  const wanted = find.trim().toLowerCase();
  const shown = document.examples
    .filter((example) => wanted === '' || JSON.stringify(example).toLowerCase().includes(wanted))
    .toSorted((a, b) => Number(byId.get(a.id)?.passed ?? true) - Number(byId.get(b.id)?.passed ?? true));
  return (
    <div className="stack">
      <p>
        {results === undefined
          ? 'The examples run as soon as every cell can be read.'
          : `${count(document.examples.length, 'example')}: ${document.examples.length - failed} come out as written, ${failed} do not. All have to before the version can be put before a second person.`}{' '}
        <Link to="/policies/$id/$version/try" params={{ id: document.id, version: String(version) }}>
          Try a case and keep it as an example
        </Link>
      </p>
      <div className="field">
        <label htmlFor="find-example">Find an example</label>
        <input id="find-example" type="search" value={find} onChange={(event) => setFind(event.currentTarget.value)} />
      </div>
      {shown.length === 0 ? (
        <Empty>
          {document.examples.length === 0
            ? 'There is no example yet. Try a case, and keep it.'
            : 'No example has these words in it.'}
        </Empty>
      ) : (
        <table className="cards">
          <caption className="away">Examples</caption>
          <thead>
            <tr>
              <th scope="col">Example</th>
              <th scope="col">Given</th>
              <th scope="col">Expects</th>
              <th scope="col">Comes out</th>
            </tr>
          </thead>
          <tbody>
            {shown.map((example) => (
              <Line key={example.id} {...props} example={example} result={byId.get(example.id)} />
            ))}
          </tbody>
        </table>
      )}
    </div>
  );
}

function Line({
  document,
  version,
  onWrite,
  example,
  result,
}: ExamplesProps & { readonly example: PolicyExample; readonly result: ExampleResult | undefined }): ReactNode {
  return (
    <tr>
      <th scope="row">
        <Link
          to="/policies/$id/$version/try"
          params={{ id: document.id, version: String(version) }}
          search={{ example: example.id }}
        >
          {example.id}
        </Link>
        <span className="sub">{showDate(example.on)}</span>
      </th>
      <td data-label="Given">{pairs(example.given)}</td>
      <td data-label="Expects">{pairs(example.expect)}</td>
      <td data-label="Comes out">
        {result === undefined ? null : result.passed ? (
          <Mark shape="tick" tone="ok" says="As written" />
        ) : (
          <>
            <Mark shape="triangle" tone="bad" says="Otherwise" />
            {result.differences.map((difference) => (
              <span key={difference} className="sub">
                {difference}
              </span>
            ))}
          </>
        )}
        {onWrite === undefined ? null : (
          <button type="button" className="linklike small" onClick={() => onWrite(removeExample(document, example.id))}>
            Take out<span className="away">: {example.id}</span>
          </button>
        )}
      </td>
    </tr>
  );
}

function pairs(of: PolicyExample['expect'] | PolicyExample['given']): string {
  return Object.entries(of)
    .map(([name, value]) => `${name} ${outcomeText(value)}`)
    .join(', ');
}
