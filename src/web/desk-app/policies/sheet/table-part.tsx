import { useState, type ReactNode } from 'react';
import type { HitPolicy, PolicyDecision, PolicyDocument } from '../../../../policies/policies.contract.js';
import { Pick } from '../../parts/pick.js';
import { HIT_WORDS, typesBefore } from './decision-grid.js';
import {
  addColumn,
  addOtherwise,
  removeColumn,
  removeOtherwise,
  withDecision,
  writeColumn,
  writeHit,
} from './document-edits.js';
import { typeWords } from './written-values.js';

interface TableProps {
  readonly document: PolicyDocument;
  readonly decision: PolicyDecision;
  /** Absent where nobody may write. */
  readonly onWrite?: ((document: PolicyDocument) => void) | undefined;
}

/** What a table says before its rows: how it chooses. */
export function HitPick({ document, decision, onWrite }: TableProps): ReactNode {
  const { table } = decision;
  if (table === undefined) return null;
  const hits = Object.keys(HIT_WORDS) as readonly HitPolicy[];
  return (
    <div className="hit">
      {onWrite === undefined ? null : (
        <Pick
          id="hit"
          label="Which rule counts"
          value={table.hit}
          options={hits.map((hit) => [hit, hit] as const)}
          onPick={(hit) => onWrite(writeHit(document, decision.id, hits.find((each) => each === hit) ?? table.hit))}
        />
      )}
      <p>
        {HIT_WORDS[table.hit]}
        {table.aggregate === undefined ? '' : ` What they give is made one number: ${table.aggregate}.`}
        {table.otherwise === undefined
          ? ' Where no rule holds there is no answer, and a person decides.'
          : ' Where no rule holds, the last row counts.'}
      </p>
    </div>
  );
}

/** A decision that is one expression. */
export function ExpressionPart({ document, decision, onWrite }: TableProps): ReactNode {
  return (
    <div className="field">
      <label htmlFor="expression">Expression</label>
      <span className="hint" id="expression-hint">
        Gives {Object.entries(decision.gives).map(([name, type]) => `${name} (${typeWords(type)})`)}.
      </span>
      <textarea
        id="expression"
        className="nums wide"
        aria-describedby="expression-hint"
        rows={4}
        readOnly={onWrite === undefined}
        value={decision.expression ?? ''}
        onChange={(event) => {
          const expression = event.currentTarget.value;
          onWrite?.(withDecision(document, decision.id, (each) => ({ ...each, expression })));
        }}
      />
    </div>
  );
}

/** Columns of a table: what they read, one more, one less; and the row for when no rule holds. */
export function ColumnsPanel({ document, decision, onWrite }: TableProps): ReactNode {
  const [expression, setExpression] = useState('');
  const { table, id } = decision;
  if (table === undefined || onWrite === undefined) return null;
  const names = [...typesBefore(document, id).keys()];
  const entries = Object.entries(table.columns);
  const used = (column: string): number => table.rules.filter(({ when }) => column in when).length;
  return (
    <details className="columns-panel">
      <summary>Columns of this table</summary>
      <div className="stack">
        <ul className="plain">
          {entries.map(([column, reads]) => (
            <li key={column} className="row">
              <label className="grow">
                <span className="away">What the column {column} reads</span>
                <input
                  className="nums"
                  value={reads}
                  list="names"
                  onChange={(event) => onWrite(writeColumn(document, id, column, event.currentTarget.value))}
                />
              </label>
              <button type="button" className="no" onClick={() => onWrite(removeColumn(document, id, column))}>
                Take out<span className="away">: {reads}</span>
              </button>
              <span className="quiet small">{used(column)} filled</span>
            </li>
          ))}
        </ul>
        <form
          className="row"
          onSubmit={(event) => {
            event.preventDefault();
            if (expression.trim() === '') return;
            onWrite(addColumn(document, id, expression.trim()));
            setExpression('');
          }}
        >
          <label className="grow">
            A new column reads this fact, parameter, earlier outcome or expression
            <input
              className="nums"
              value={expression}
              list="names"
              required
              onChange={(event) => setExpression(event.currentTarget.value)}
            />
          </label>
          <button>Add the column</button>
        </form>
        <datalist id="names">
          {names.map((name) => (
            <option key={name} value={name} />
          ))}
        </datalist>
        {table.otherwise === undefined ? (
          <button type="button" onClick={() => onWrite(addOtherwise(document, id))}>
            Add a row for when no rule holds
          </button>
        ) : (
          <button type="button" className="no" onClick={() => onWrite(removeOtherwise(document, id))}>
            Take out the row for when no rule holds
          </button>
        )}
      </div>
    </details>
  );
}
