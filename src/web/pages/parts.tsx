import type { ComponentChildren, VNode } from 'preact';
import type { Shape, StateMark, Tone } from '../domain/state-marks.js';
import { showTime } from '../domain/time-words.js';
import { CAUTION } from '../domain/trade-words.js';
import { faultAt, type Trouble } from '../form-fields.js';

const PATHS: Readonly<Record<Shape, VNode>> = {
  ring: <circle cx="8" cy="8" r="5.5" fill="none" stroke="currentColor" stroke-width="2.5" />,
  half: (
    <>
      <circle cx="8" cy="8" r="5.5" fill="none" stroke="currentColor" stroke-width="2.5" />
      <path d="M8 2.5a5.5 5.5 0 0 1 0 11z" fill="currentColor" />
    </>
  ),
  tick: <path d="M2.5 8.5l3.8 4 7.2-9" fill="none" stroke="currentColor" stroke-width="2.6" />,
  triangle: <path d="M8 1.5l7 13H1z" fill="currentColor" />,
  octagon: <path d="M5 1h6l4 4v6l-4 4H5l-4-4V5z" fill="currentColor" />,
  diamond: <path d="M8 1l7 7-7 7-7-7z" fill="currentColor" />,
  'open square': <path d="M2.5 2.5h11v11h-11z" fill="none" stroke="currentColor" stroke-width="2.5" />,
  square: <path d="M2 2h12v12H2z" fill="currentColor" />,
  cross: <path d="M3 3l10 10M13 3L3 13" fill="none" stroke="currentColor" stroke-width="2.6" />,
};

/** A shape beside a word; the word carries the meaning. */
export function Sign({ shape, class: name }: { readonly shape: Shape; readonly class?: string }): VNode {
  return (
    <svg viewBox="0 0 16 16" aria-hidden="true" class={name}>
      {PATHS[shape]}
    </svg>
  );
}

/** A state as shape, word and colour. */
export function Mark({ shape, says, tone }: StateMark): VNode {
  return (
    <span class={`mark ${tone}`}>
      <Sign shape={shape} />
      {says}
    </span>
  );
}

/** A set-off remark. */
export function Note(props: {
  readonly tone: Tone;
  readonly title?: string;
  readonly children?: ComponentChildren;
}): VNode {
  return (
    <div class={`note ${props.tone}`}>
      {props.title === undefined ? null : <strong>{props.title}</strong>}
      {props.children}
    </div>
  );
}

/** Why a form was refused, first thing on the page and told to screen readers. */
export function TroubleNote({ trouble }: { readonly trouble: Trouble | undefined }): VNode | null {
  if (trouble === undefined) return null;
  return (
    <div class="note bad" role="alert" tabIndex={-1} id="trouble">
      <strong>{trouble.code === 'invalid-request' ? 'Something in the form needs another look' : trouble.title}</strong>
      <p>{trouble.detail}</p>
      {trouble.faults.length === 0 ? null : (
        <ul>
          {trouble.faults.map(({ detail }) => (
            <li>{detail}</li>
          ))}
        </ul>
      )}
    </div>
  );
}

interface FieldProps {
  readonly id: string;
  readonly name: string;
  readonly label: string;
  readonly hint?: string;
  readonly trouble?: Trouble | undefined;
}

/** What a control needs to be tied to its label, hint and fault. */
export function tied(props: Pick<FieldProps, 'id' | 'name' | 'hint' | 'trouble'>) {
  const wrong = faultAt(props.trouble, props.name);
  const about = [
    ...(props.hint === undefined ? [] : [`${props.id}-hint`]),
    ...(wrong === undefined ? [] : [`${props.id}-wrong`]),
  ];
  return {
    id: props.id,
    name: props.name,
    ...(about.length === 0 ? {} : { 'aria-describedby': about.join(' ') }),
    ...(wrong === undefined ? {} : { 'aria-invalid': 'true' as const }),
  };
}

/** A labelled control with its hint and, where there is one, its fault. */
export function Field(props: FieldProps & { readonly children: ComponentChildren; readonly short?: boolean }): VNode {
  const wrong = faultAt(props.trouble, props.name);
  return (
    <div class={props.short === true ? 'field short' : 'field'}>
      <label for={props.id}>{props.label}</label>
      {props.hint === undefined ? null : (
        <span class="hint" id={`${props.id}-hint`}>
          {props.hint}
        </span>
      )}
      {wrong === undefined ? null : (
        <span class="wrong" id={`${props.id}-wrong`}>
          {wrong}
        </span>
      )}
      {props.children}
    </div>
  );
}

interface TextProps extends FieldProps {
  readonly value?: string;
  readonly type?: 'text' | 'email' | 'password' | 'number' | 'date' | 'datetime-local' | 'search';
  readonly short?: boolean;
  readonly required?: boolean;
  readonly max?: number;
  readonly autocomplete?: string;
  readonly inputmode?: 'numeric' | 'decimal' | 'text';
}

/** One line of text. */
export function TextLine(props: TextProps): VNode {
  const kind = {
    type: props.type ?? 'text',
    inputMode: props.inputmode,
    maxLength: props.type === 'password' ? undefined : (props.max ?? 2000),
  };
  return (
    <Field {...props}>
      <input
        {...tied(props)}
        {...(kind as { readonly type: 'text' })}
        value={props.value ?? ''}
        required={props.required}
        autocomplete={props.autocomplete ?? 'off'}
      />
    </Field>
  );
}

/** Several lines of text. */
export function TextBox(props: TextProps & { readonly rows?: number }): VNode {
  return (
    <Field {...props}>
      <textarea {...tied(props)} rows={props.rows ?? 3} required={props.required} maxLength={props.max ?? 2000}>
        {props.value ?? ''}
      </textarea>
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
): VNode {
  return (
    <Field {...props}>
      <select {...tied(props)}>
        {props.none === undefined ? null : <option value="">{props.none}</option>}
        {props.options.map(([value, says]) => (
          <option value={value} selected={value === props.value}>
            {says}
          </option>
        ))}
      </select>
    </Field>
  );
}

/** An instant in the time of a place. */
export function Time({ at, zone }: { readonly at: string; readonly zone?: string | undefined }): VNode {
  return <time dateTime={at}>{showTime(at, zone)}</time>;
}

/** The caution beside clocks, policies and amounts. */
export function Caution(): VNode {
  return <p class="small quiet">{CAUTION}</p>;
}

/** Facts as pairs of a word and what it is; pairs without a value are left out. */
export function Facts({ of }: { readonly of: readonly (readonly [string, ComponentChildren])[] }): VNode {
  return (
    <dl class="facts">
      {of
        .filter(([, value]) => value !== null && value !== undefined && value !== '')
        .map(([name, value]) => (
          <>
            <dt>{name}</dt>
            <dd>{value}</dd>
          </>
        ))}
    </dl>
  );
}
