import type { ReactNode } from 'react';
import type { Trouble } from '../api/http.js';

interface FieldProps {
  readonly id: string;
  readonly name: string;
  readonly label: string;
  readonly hint?: string | undefined;
  readonly trouble?: Trouble | undefined;
}

/** What is wrong with a field, where the service said so. */
function faultAt(trouble: Trouble | undefined, name: string): string | undefined {
  return trouble?.faults.find(({ pointer }) => pointer === `#/${name}`)?.detail;
}

/** What a control needs to be tied to its label, hint and fault. */
function tied({ id, name, hint, trouble }: FieldProps) {
  const wrong = faultAt(trouble, name);
  const about = [...(hint === undefined ? [] : [`${id}-hint`]), ...(wrong === undefined ? [] : [`${id}-wrong`])];
  return {
    id,
    name,
    ...(about.length === 0 ? {} : { 'aria-describedby': about.join(' ') }),
    ...(wrong === undefined ? {} : { 'aria-invalid': true }),
  };
}

/** A labelled control with its hint and, where there is one, its fault. */
export function Field(
  props: FieldProps & { readonly children: ReactNode; readonly short?: boolean | undefined },
): ReactNode {
  const wrong = faultAt(props.trouble, props.name);
  return (
    <div className={props.short === true ? 'field short' : 'field'}>
      <label htmlFor={props.id}>{props.label}</label>
      {props.hint === undefined ? null : (
        <span className="hint" id={`${props.id}-hint`}>
          {props.hint}
        </span>
      )}
      {wrong === undefined ? null : (
        <span className="wrong" id={`${props.id}-wrong`}>
          {wrong}
        </span>
      )}
      {props.children}
    </div>
  );
}

interface TextProps extends FieldProps {
  /** What stands there at first; what is typed afterwards is the browser's to keep. */
  readonly value?: string;
  readonly type?: 'text' | 'email' | 'password' | 'number' | 'date' | 'datetime-local' | 'search';
  readonly short?: boolean;
  readonly required?: boolean;
  readonly max?: number;
  readonly inputMode?: 'numeric' | 'decimal' | 'text';
}

/** One line of text. */
export function TextLine(props: TextProps): ReactNode {
  return (
    <Field {...props}>
      <input
        {...tied(props)}
        type={props.type ?? 'text'}
        inputMode={props.inputMode}
        maxLength={props.max ?? 2000}
        defaultValue={props.value ?? ''}
        required={props.required}
        autoComplete="off"
      />
    </Field>
  );
}

/** Several lines of text. */
export function TextBox(props: TextProps & { readonly rows?: number }): ReactNode {
  return (
    <Field {...props}>
      <textarea
        {...tied(props)}
        rows={props.rows ?? 3}
        required={props.required}
        maxLength={props.max ?? 2000}
        defaultValue={props.value ?? ''}
      />
    </Field>
  );
}

/** One of a list. */
export function Choose(
  props: FieldProps & {
    readonly value?: string;
    readonly short?: boolean;
    readonly options: readonly (readonly [value: string, says: string])[];
    /** What stands there while nothing is chosen. */
    readonly none?: string;
  },
): ReactNode {
  return (
    <Field {...props}>
      <select {...tied(props)} defaultValue={props.value ?? ''}>
        {props.none === undefined ? null : <option value="">{props.none}</option>}
        {props.options.map(([value, says]) => (
          <option key={value} value={value}>
            {says}
          </option>
        ))}
      </select>
    </Field>
  );
}

/** Why a form was refused, told to screen readers as well. */
export function TroubleNote({ trouble }: { readonly trouble: Trouble | undefined }): ReactNode {
  if (trouble === undefined) return null;
  const { title, detail } = inWords(trouble);
  return (
    <div className="note bad" role="alert">
      <strong>{title}</strong>
      <p>{detail}</p>
      {trouble.signedOut ? (
        <p>
          <a href="/sign-in" target="_blank" rel="noreferrer">
            Sign in in another tab
          </a>
          , then send it again here.
        </p>
      ) : null}
      {trouble.faults.length === 0 ? null : (
        <ul>
          {trouble.faults.map(({ pointer, detail: fault }) => (
            <li key={`${pointer} ${fault}`}>{fault}</li>
          ))}
        </ul>
      )}
    </div>
  );
}

function inWords(trouble: Trouble): { title: string; detail: string } {
  if (trouble.signedOut) return { title: 'Your session has ended.', detail: 'What you typed is kept on this page.' };
  if (trouble.code === 'version-changed') {
    return {
      title: 'Somebody changed this in the meantime.',
      detail:
        'The page shows it as it is now, and what you typed is kept. Look at what changed, then send it again if it still fits.',
    };
  }
  if (trouble.code === 'invalid-request')
    return { title: 'Something in the form needs another look.', detail: trouble.detail };
  return trouble;
}
