import './records.css';
import type { ReactNode } from 'react';
import { factsInWords } from '../../domain/rehearsal-views.js';
import { valueText } from '../../domain/rule-differences.js';
import { sentenceCase } from '../../domain/trade-words.js';
import type { DecidedRule, Question, Why } from '../api/records.js';
import { Mark } from '../parts/parts.js';
import { showDate } from '../../domain/time-words.js';

/** What was asked, in one line: "Leg 1: remedy option, with option refund". */
export function questionWords(question: Question | undefined): string {
  if (question === undefined) return '';
  const { about, asked, given } = question;
  const facts = factsInWords(given);
  const what = `${asked.join(', ')}${facts === '' ? '' : `, with ${facts}`}`;
  return sentenceCase(about === undefined ? what : `${about}: ${what}`);
}

interface AnswerProps {
  readonly question: Question;
  /** The same question under another version; what it says too is not marked. */
  readonly beside?: Question | undefined;
}

/** What the policy answered, and by which rules. */
export function Answer({ question: { outcomes, rules, needs }, beside }: AnswerProps): ReactNode {
  const said = Object.entries(outcomes).toSorted(([a], [b]) => a.localeCompare(b));
  return (
    <div className="answer">
      {said.length === 0 ? <p>Not decided.</p> : null}
      <ul className="plain outcomes">
        {said.map(([name, value]) => (
          <li key={name}>
            {sentenceCase(name)}: <strong>{valueText(value)}</strong>{' '}
            {beside !== undefined && valueText(beside.outcomes[name]) !== valueText(value) ? (
              <Mark shape="half" tone="warn" says="Differs" />
            ) : null}
          </li>
        ))}
      </ul>
      {needs.length === 0 ? null : <p>It waits for: {needs.join(', ')}.</p>}
      {rules.map((rule) => (
        <Rule
          key={`${rule.decision} ${rule.rule}`}
          rule={rule}
          onlyHere={
            beside !== undefined &&
            !beside.rules.some((other) => other.decision === rule.decision && other.rule === rule.rule)
          }
        />
      ))}
    </div>
  );
}

function Rule({ rule, onlyHere }: { readonly rule: DecidedRule; readonly onlyHere: boolean }): ReactNode {
  return (
    <div className="fired">
      <p>
        <code>
          {rule.decision} {rule.rule}
        </code>{' '}
        {onlyHere ? <Mark shape="diamond" tone="info" says="Only here" /> : null}
      </p>
      {rule.because === undefined ? null : <p>{rule.because}</p>}
      {rule.cells.length === 0 ? null : (
        <ul className="plain cells">
          {rule.cells
            .toSorted((a, b) => a.column.localeCompare(b.column))
            .map(({ column, cell, value }) => (
              <li key={column}>
                {column} <code>{cell}</code> <span className="quiet">was {valueText(value)}</span>
              </li>
            ))}
        </ul>
      )}
      {rule.source === undefined ? null : <p className="sub">{rule.source}</p>}
    </div>
  );
}

/** The dated parameters that were used. */
export function UsedParameters({ parameters }: Pick<Why, 'parameters'>): ReactNode {
  if (parameters.length === 0) return null;
  return (
    <div className="scroll" tabIndex={0} role="region" aria-label="Parameters that were used">
      <table>
        <caption>Dated parameters that were used, with the day from which each value holds.</caption>
        <thead>
          <tr>
            <th scope="col">Parameter</th>
            <th scope="col">Value</th>
            <th scope="col">From</th>
          </tr>
        </thead>
        <tbody>
          {parameters.map(({ name, from, value }) => (
            <tr key={`${name} ${from}`}>
              <th scope="row">{sentenceCase(name)}</th>
              <td>{value}</td>
              <td>{showDate(from)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
