import { useState, type ReactNode } from 'react';
import type { PolicyDocument } from '../../../../policies/policies.contract.js';
import { addParameter } from './parameter-grid.js';

interface FormProps {
  readonly document: PolicyDocument;
  readonly onWrite: (document: PolicyDocument) => void;
}

/** One more parameter. */
export function ParameterForm({ document, onWrite }: FormProps): ReactNode {
  const [wrong, setWrong] = useState<string>();
  return (
    <details className="columns-panel">
      <summary>A new parameter</summary>
      <form
        className="row"
        onSubmit={(event) => {
          event.preventDefault();
          const fields = new FormData(event.currentTarget);
          const typed = (field: string): string => {
            const text = fields.get(field);
            return typeof text === 'string' ? text.trim() : '';
          };
          const [name, from, value] = [typed('name'), typed('from'), typed('value')];
          if (name in document.parameters) return setWrong(`There is a parameter ${name} already.`);
          setWrong(undefined);
          const type = fields.get('type') === 'decimal' ? 'decimal' : 'integer';
          const written = type === 'integer' && /^-?\d{1,15}$/.test(value) ? Number(value) : value;
          onWrite(addParameter(document, name, { type, values: [{ from, value: written }] }));
          event.currentTarget.reset();
        }}
      >
        <label>
          Name
          <input name="name" required maxLength={80} />
        </label>
        <label>
          Kind
          <select name="type">
            <option value="integer">whole number</option>
            <option value="decimal">decimal</option>
          </select>
        </label>
        <label>
          From
          <input name="from" type="date" required />
        </label>
        <label>
          Value
          <input name="value" inputMode="decimal" required />
        </label>
        <button>Add the parameter</button>
        {wrong === undefined ? null : (
          <p className="wrong" role="alert">
            {wrong}
          </p>
        )}
      </form>
    </details>
  );
}
