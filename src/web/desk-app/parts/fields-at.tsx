import { useEffect, useState, type ReactNode } from 'react';
import { valueAt, withValue } from './document-edits.js';
import { faultsBelow, useEditing } from './editing.js';

interface AtProps {
  /** JSON Pointer of what the field holds; also its id on the page, so that a fault leads to it. */
  readonly at: string;
  readonly label: string;
  readonly hint?: string;
}

/** What is wrong with a field, where the checker says so. */
function useWrong(at: string): { readonly says: string | undefined; readonly id: string } {
  const { faults } = useEditing();
  const says = faultsBelow(faults, at).map(({ detail }) => detail);
  return { says: says.length === 0 ? undefined : says.join(' '), id: `${at}-wrong` };
}

/** A label, a hint and what is wrong, around a control. */
function Around(props: AtProps & { readonly short?: boolean; readonly children: ReactNode }): ReactNode {
  const wrong = useWrong(props.at);
  return (
    <div className={props.short === true ? 'field short' : 'field'}>
      <label htmlFor={props.at}>{props.label}</label>
      {props.hint === undefined ? null : (
        <span className="hint" id={`${props.at}-hint`}>
          {props.hint}
        </span>
      )}
      {props.children}
      {wrong.says === undefined ? null : (
        <span className="wrong" id={wrong.id}>
          {wrong.says}
        </span>
      )}
    </div>
  );
}

/** Ties a control to its hint and fault. */
function useTied({ at, hint }: AtProps) {
  const wrong = useWrong(at);
  const about = [...(hint === undefined ? [] : [`${at}-hint`]), ...(wrong.says === undefined ? [] : [wrong.id])];
  return {
    id: at,
    ...(about.length === 0 ? {} : { 'aria-describedby': about.join(' ') }),
    ...(wrong.says === undefined ? {} : { 'aria-invalid': true }),
  };
}

/** A text. @param optional an empty one is taken away */
export function TextAt(
  props: AtProps & {
    readonly max: number;
    readonly optional?: boolean;
    readonly rows?: number;
    readonly lang?: string;
    readonly short?: boolean;
    readonly mode?: 'decimal' | 'numeric';
  },
): ReactNode {
  const { at, max, optional = false, rows, lang, mode } = props;
  const { document, edit } = useEditing();
  const value = valueAt(document, at);
  const control = {
    ...useTied(props),
    maxLength: max,
    lang,
    inputMode: mode,
    value: typeof value === 'string' ? value : '',
    onChange: ({ currentTarget }: { readonly currentTarget: { readonly value: string } }) => {
      const typed = currentTarget.value;
      edit((draft) => withValue(draft, at, typed === '' && optional ? undefined : typed), at);
    },
  };
  return (
    <Around {...props}>{rows === undefined ? <input {...control} /> : <textarea {...control} rows={rows} />}</Around>
  );
}

/** A sentence in both languages, side by side. @param optional without English the whole sentence is taken away */
export function WordsAt(props: AtProps & { readonly max?: number; readonly optional?: boolean }): ReactNode {
  const { at, label, max = 400, optional = false, hint } = props;
  const { document, edit } = useEditing();
  const words = valueAt(document, at) as { readonly en?: unknown; readonly es?: unknown } | undefined;
  const given = words !== undefined;
  if (!given && optional) {
    return (
      <p>
        <button
          type="button"
          className="little"
          id={at}
          onClick={() => edit((draft) => withValue(draft, at, { en: '' }))}
        >
          Add: {label.toLowerCase()}
        </button>
      </p>
    );
  }
  return (
    <fieldset className="both">
      <legend>{label}</legend>
      {hint === undefined ? null : <p className="hint">{hint}</p>}
      <div className="pair">
        <TextAt at={`${at}/en`} label="English" max={max} rows={2} lang="en" />
        <TextAt
          at={`${at}/es`}
          label={given && typeof words.es !== 'string' ? 'Spanish · missing, English is shown' : 'Spanish'}
          max={max}
          rows={2}
          lang="es"
          optional
        />
      </div>
      {optional ? (
        <button type="button" className="little" onClick={() => edit((draft) => withValue(draft, at, undefined))}>
          Take out: {label.toLowerCase()}
        </button>
      ) : null}
    </fieldset>
  );
}

/** A number as it is typed; what is none stays as it is, and the checker says so. */
export function NumberAt(props: AtProps): ReactNode {
  const { at } = props;
  const { document, edit } = useEditing();
  const value = valueAt(document, at);
  const [typed, setTyped] = useState(() => textOf(value));
  useEffect(() => setTyped((now) => (numberOf(now) === value ? now : textOf(value))), [value]);
  return (
    <Around {...props} short>
      <input
        {...useTied(props)}
        inputMode="decimal"
        maxLength={20}
        value={typed}
        onChange={({ currentTarget }) => {
          const text = currentTarget.value;
          setTyped(text);
          edit((draft) => withValue(draft, at, numberOf(text)), at);
        }}
      />
    </Around>
  );
}

/** What a field shows of a number, or of what was typed in its place. */
function textOf(value: unknown): string {
  return typeof value === 'number' || typeof value === 'string' ? String(value) : '';
}

function numberOf(text: string): number | string {
  const plain = text.trim().replace(',', '.');
  return /^-?\d+(\.\d+)?$/.test(plain) ? Number(plain) : text;
}

/** A choice from a list. @param none what stands for no choice; the field is taken away then */
export function ChooseAt(
  props: AtProps & { readonly options: readonly (readonly [value: string, says: string])[]; readonly none?: string },
): ReactNode {
  const { at, options, none } = props;
  const { document, edit } = useEditing();
  const value = valueAt(document, at);
  const now = typeof value === 'string' ? value : '';
  return (
    <Around {...props} short>
      <select
        {...useTied(props)}
        value={now}
        onChange={({ currentTarget }) => {
          const picked = currentTarget.value;
          edit((draft) => withValue(draft, at, picked === '' && none !== undefined ? undefined : picked));
        }}
      >
        {none === undefined ? null : <option value="">{none}</option>}
        {options.some(([each]) => each === now) || now === '' ? null : <option value={now}>{now}</option>}
        {options.map(([each, says]) => (
          <option key={each} value={each}>
            {says}
          </option>
        ))}
      </select>
    </Around>
  );
}

/** An id, changed as a whole when the field is left, so that what refers to it can follow. */
export function IdAt(props: AtProps & { readonly onRename: (id: string) => void }): ReactNode {
  const { at, onRename } = props;
  const { document } = useEditing();
  const value = textOf(valueAt(document, at));
  const [typed, setTyped] = useState(value);
  useEffect(() => setTyped(value), [value]);
  return (
    <Around {...props} short>
      <input
        {...useTied(props)}
        className="nums"
        maxLength={80}
        value={typed}
        onChange={({ currentTarget }) => setTyped(currentTarget.value)}
        onBlur={() => (typed === value ? undefined : onRename(typed))}
        onKeyDown={({ key }) => (key === 'Enter' && typed !== value ? onRename(typed) : undefined)}
      />
    </Around>
  );
}

/** Yes or no, as a box that is ticked. */
export function FlagAt({ at, label }: Omit<AtProps, 'hint'>): ReactNode {
  const { document, edit } = useEditing();
  return (
    <label className="pick">
      <input
        id={at}
        type="checkbox"
        checked={valueAt(document, at) === true}
        onChange={({ currentTarget }) => {
          const { checked } = currentTarget;
          edit((draft) => withValue(draft, at, checked));
        }}
      />
      {label}
    </label>
  );
}
