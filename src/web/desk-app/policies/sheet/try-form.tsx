import type { ReactNode } from 'react';
import type { FactType, PolicyDocument } from '../../../../policies/policies.contract.js';
import { sentenceCase } from '../../../domain/trade-words.js';
import { choices, factsRead, type CaseTyped } from './tried-case.js';
import { typeWords } from './written-values.js';

interface FormProps {
  readonly document: PolicyDocument;
  readonly typed: CaseTyped;
  readonly onWrite: (typed: CaseTyped) => void;
}

/** A form made of the facts that a policy declares; every change runs the case at once. */
export function TryForm({ document, typed, onWrite }: FormProps): ReactNode {
  const read = factsRead(document, typed.decision);
  const facts = Object.entries(document.facts);
  const others = facts.filter(([name]) => !read.has(name));
  const field = ([name, type]: readonly [string, FactType]): ReactNode => (
    <FactField
      key={name}
      name={name}
      type={type}
      text={typed.texts[name] ?? ''}
      onWrite={(text) => onWrite({ ...typed, texts: { ...typed.texts, [name]: text } })}
    />
  );
  return (
    <form className="sheet stack" onSubmit={(event) => event.preventDefault()} aria-labelledby="case-title">
      <h2 id="case-title">The case</h2>
      <div className="grid">
        <div className="field">
          <label htmlFor="try-decision">Decision</label>
          <select
            id="try-decision"
            value={typed.decision}
            onChange={(event) => onWrite({ ...typed, decision: event.currentTarget.value, rule: '' })}
          >
            <option value="">All of them</option>
            {document.decisions.map(({ id }) => (
              <option key={id} value={id}>
                {sentenceCase(id)}
              </option>
            ))}
          </select>
        </div>
        <div className="field">
          <label htmlFor="try-on">Day whose parameters hold</label>
          <input
            id="try-on"
            type="date"
            required
            value={typed.on}
            onChange={(event) => onWrite({ ...typed, on: event.currentTarget.value })}
          />
        </div>
      </div>
      <p className="small quiet">
        A fact that is left empty is not known yet; “absent” is known not to be there, and is something else.
      </p>
      <div className="grid">{facts.filter(([name]) => read.has(name)).map(field)}</div>
      {others.length === 0 ? null : (
        <details>
          <summary>{others.length} facts that this decision does not read</summary>
          <div className="grid">{others.map(field)}</div>
        </details>
      )}
      <button type="button" onClick={() => onWrite({ ...typed, texts: {} })}>
        Empty the form
      </button>
    </form>
  );
}

interface FieldProps {
  readonly name: string;
  readonly type: FactType;
  readonly text: string;
  readonly onWrite: (text: string) => void;
}

function FactField({ name, type, text, onWrite }: FieldProps): ReactNode {
  const id = `fact ${name}`.replaceAll(' ', '-');
  const of = choices(type);
  const absent = type.optional === true;
  const hint = type.ask ?? (of === undefined ? typeWords({ ...type, optional: false }) : undefined);
  return (
    <div className="field">
      <label htmlFor={id}>{sentenceCase(name)}</label>
      {hint === undefined ? null : (
        <span className="hint" id={`${id}-hint`}>
          {hint}
          {of === undefined && absent ? ' Write null where it is known to be absent.' : ''}
        </span>
      )}
      {of === undefined ? (
        <input
          id={id}
          type={type.type === 'date' && !absent ? 'date' : 'text'}
          inputMode={type.type === 'integer' ? 'numeric' : type.type === 'decimal' ? 'decimal' : 'text'}
          autoComplete="off"
          value={text}
          onChange={(event) => onWrite(event.currentTarget.value)}
          {...(hint === undefined ? {} : { 'aria-describedby': `${id}-hint` })}
        />
      ) : (
        <select
          id={id}
          value={text}
          onChange={(event) => onWrite(event.currentTarget.value)}
          {...(hint === undefined ? {} : { 'aria-describedby': `${id}-hint` })}
        >
          <option value="">Not known yet</option>
          {of.map((value) => (
            <option key={value} value={value}>
              {type.type === 'boolean' ? (value === 'true' ? 'Yes' : 'No') : value}
            </option>
          ))}
          {absent ? <option value="null">Absent</option> : null}
        </select>
      )}
    </div>
  );
}
