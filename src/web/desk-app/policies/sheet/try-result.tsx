import type { ReactNode } from 'react';
import type { Evaluation, PolicyDocument } from '../../../../policies/policies.contract.js';
import type { CellTrace, DecisionTrace, RuleTrace, WhyNotRule } from '../../../../policies/trace.contract.js';
import { showDate } from '../../../domain/time-words.js';
import { sentenceCase } from '../../../domain/trade-words.js';
import { Mark } from '../../parts/mark.js';
import { Facts, Note } from '../../parts/parts.js';
import { Pick } from '../../parts/pick.js';
import type { Tried } from './checker.js';
import { OTHERWISE } from './decision-grid.js';
import type { CaseTyped } from './tried-case.js';
import { outcomeText } from './written-values.js';

interface ResultProps {
  readonly document: PolicyDocument;
  readonly typed: CaseTyped;
  /** Undefined until the first answer. */
  readonly tried: Tried | undefined;
  readonly onWrite: (typed: CaseTyped) => void;
}

/** What came of a case, rule by rule, and what stands against a rule that somebody names. */
export function TryResult({ document, typed, tried, onWrite }: ResultProps): ReactNode {
  if (tried === undefined) return <p className="lead quiet">Running it…</p>;
  if (!tried.ok) {
    return (
      <Note tone="bad" title="This case cannot be run.">
        <p>{tried.detail}</p>
      </Note>
    );
  }
  const { evaluation, whyNot } = tried;
  return (
    <>
      <p role="status" className="away">
        {(evaluation.trace ?? []).map(inShort).join(' ')}
      </p>
      <Needs evaluation={evaluation} />
      {(evaluation.trace ?? []).map((trace) => (
        <Decided key={trace.decision} trace={trace} />
      ))}
      <WhyNotPick document={document} typed={typed} whyNot={whyNot} onWrite={onWrite} />
    </>
  );
}

/** What came out, for those who hear it. */
function inShort({ decision, result, outcomes = {}, fired }: DecisionTrace): string {
  if (result !== 'decided') return `${decision}: ${result === 'needs' ? 'waits for facts' : 'no rule speaks'}.`;
  const given = Object.entries(outcomes).map(([name, value]) => `${name} ${outcomeText(value)}`);
  return `${decision}: ${given.join(', ')}${fired.length === 0 ? '' : ` by ${fired.map(({ rule }) => rule).join(', ')}`}.`;
}

function Needs({ evaluation: { needs } }: { readonly evaluation: Evaluation }): ReactNode {
  if (needs.length === 0) return null;
  return (
    <Note tone="info" title="Must be known first">
      <ul>
        {needs.map(({ fact, ask, decision }) => (
          <li key={`${decision} ${fact}`}>
            {sentenceCase(fact)} <span className="quiet">for {decision}</span>
            {ask === undefined ? null : <span className="sub">{ask}</span>}
          </li>
        ))}
      </ul>
    </Note>
  );
}

function Decided({ trace }: { readonly trace: DecisionTrace }): ReactNode {
  const { decision, result, outcomes = {}, expression, fired, masked, overridden, possible, parameters } = trace;
  return (
    <section className="sheet stack">
      <h2>{sentenceCase(decision)}</h2>
      {result === 'decided' ? (
        <Facts of={Object.entries(outcomes).map(([name, value]) => [name, <strong>{outcomeText(value)}</strong>])} />
      ) : (
        <Mark
          shape="half"
          tone="warn"
          says={result === 'needs' ? 'Waits for facts' : 'No rule speaks; a person decides'}
        />
      )}
      {expression === undefined ? null : (
        <p>
          <code>{expression}</code>
        </p>
      )}
      {fired.map((rule) => (
        <Fired key={rule.rule} rule={rule} />
      ))}
      <Beside says="Hold too, and give way to a stronger rule" of={masked} />
      <Beside says="Give way to an exception" of={overridden.map(({ rule, by }) => `${rule} to ${by}`)} />
      <Beside
        says="May still hold"
        of={possible.map(({ rule, facts }) => `${rule}${facts.length === 0 ? '' : ` (waits for ${facts.join(', ')})`}`)}
      />
      <Beside
        says="Parameters"
        of={parameters.map(({ name, value, from }) => `${name} ${value}, from ${showDate(from)}`)}
      />
    </section>
  );
}

function Fired({ rule: { rule, because, source, cells } }: { readonly rule: RuleTrace }): ReactNode {
  return (
    <div className="fired">
      <h3>{rule === OTHERWISE ? 'No rule holds, so the last row counts' : `Rule ${rule} decides`}</h3>
      {because === undefined ? null : <p>{because}</p>}
      {source === undefined ? null : <p className="quiet small">{source}</p>}
      {cells.length === 0 ? null : <Cells cells={cells} says={`Cells of ${rule}`} />}
    </div>
  );
}

function Cells({ cells, says }: { readonly cells: readonly CellTrace[]; readonly says: string }): ReactNode {
  return (
    <div className="scroll" role="region" aria-label={says} tabIndex={0}>
      <table>
        <caption className="away">{says}</caption>
        <thead>
          <tr>
            <th scope="col">Reads</th>
            <th scope="col">Cell</th>
            <th scope="col">Is</th>
            <th scope="col">Holds</th>
          </tr>
        </thead>
        <tbody>
          {cells.map(({ column, expression, cell, value, holds, from, to }) => (
            <tr key={column}>
              <th scope="row">{expression}</th>
              <td>
                <code>
                  {cell.slice(0, from)}
                  <b>{cell.slice(from, to)}</b>
                  {cell.slice(to)}
                </code>
              </td>
              <td>{holds === 'not known' && value === null ? 'not known' : outcomeText(value)}</td>
              <td>
                <Mark {...HOLDS[holds]} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

const HOLDS = {
  yes: { shape: 'tick', tone: 'ok', says: 'Yes' },
  no: { shape: 'cross', tone: 'bad', says: 'No' },
  'not known': { shape: 'ring', tone: 'plainly', says: 'Not known' },
} as const;

function Beside({ says, of }: { readonly says: string; readonly of: readonly string[] }): ReactNode {
  if (of.length === 0) return null;
  return (
    <p className="small">
      <span className="quiet">{says}:</span> {of.join('; ')}
    </p>
  );
}

interface WhyNotProps extends Pick<ResultProps, 'document' | 'typed' | 'onWrite'> {
  readonly whyNot: WhyNotRule | undefined;
}

function WhyNotPick({ document, typed, whyNot, onWrite }: WhyNotProps): ReactNode {
  const rules = document.decisions.find(({ id }) => id === typed.decision)?.table?.rules ?? [];
  if (rules.length === 0) return null;
  return (
    <section className="sheet stack" aria-labelledby="why-not-title">
      <h2 id="why-not-title">Why not another rule?</h2>
      <Pick
        id="why-not"
        label="Rule"
        value={typed.rule}
        options={[['', 'Choose a rule'], ...rules.map(({ id }) => [id, id] as const)]}
        onPick={(rule) => onWrite({ ...typed, rule })}
      />
      {whyNot === undefined ? null : <Against whyNot={whyNot} />}
    </section>
  );
}

function Against({ whyNot }: { readonly whyNot: WhyNotRule }): ReactNode {
  const { rule, because, failing, maskedBy, overriddenBy } = whyNot;
  const says =
    failing.length > 0
      ? `${rule} does not hold:`
      : maskedBy.length > 0
        ? `${rule} holds, and ${maskedBy.join(', ')} comes first.`
        : overriddenBy.length > 0
          ? `${rule} holds, and gives way to its exception ${overriddenBy.join(', ')}.`
          : `Nothing stands against ${rule}: it decides.`;
  return (
    <div className="stack">
      <p>{says}</p>
      {failing.length === 0 ? null : <Cells cells={failing} says={`Cells of ${rule} that do not hold`} />}
      {because === undefined ? null : <p className="quiet small">{because}</p>}
    </div>
  );
}
