import type { ComponentChildren } from 'preact';

interface Labelled {
  readonly id: string;
  readonly label: string;
  /** The label is said to readers only: the screen says it already. */
  readonly quiet?: boolean;
  readonly hint?: string | undefined;
  /** What is wrong with it. */
  readonly wrong?: string | undefined;
}

/** What ties a control to its hint and its fault. */
function tied({ id, hint, wrong }: Labelled) {
  const about = [...(hint === undefined ? [] : [`${id}-hint`]), ...(wrong === undefined ? [] : [`${id}-wrong`])];
  return {
    id,
    'aria-describedby': about.length === 0 ? undefined : about.join(' '),
    'aria-invalid': wrong === undefined ? undefined : true,
  };
}

function Around(props: Labelled & { readonly children: ComponentChildren }) {
  return (
    <div class="field">
      <label for={props.id} class={props.quiet === true ? 'away' : undefined}>
        {props.label}
      </label>
      {props.hint === undefined ? null : (
        <span class="hint" id={`${props.id}-hint`}>
          {props.hint}
        </span>
      )}
      {props.wrong === undefined ? null : (
        <span class="wrong" id={`${props.id}-wrong`} role="alert">
          {props.wrong}
        </span>
      )}
      {props.children}
    </div>
  );
}

interface Typed extends Labelled {
  readonly value: string;
  readonly max?: number;
  readonly onType: (value: string) => void;
}

/** A line of text, or another one-line control. */
export function Line(props: Typed & { readonly mode?: 'decimal'; readonly caps?: boolean }) {
  return (
    <Around {...props}>
      <input
        {...tied(props)}
        inputMode={props.mode}
        value={props.value}
        maxLength={props.max}
        autocomplete="off"
        autocapitalize={props.caps === true ? 'characters' : undefined}
        spellcheck={false}
        onInput={({ currentTarget }) => props.onType(currentTarget.value)}
      />
    </Around>
  );
}

/** A day and an hour by the clock of this phone. */
export function Moment(props: Typed) {
  return (
    <Around {...props}>
      <input
        {...tied(props)}
        type="datetime-local"
        value={props.value}
        onInput={({ currentTarget }) => props.onType(currentTarget.value)}
      />
    </Around>
  );
}

/** A few lines of text. */
export function Box(props: Typed & { readonly rows?: number }) {
  return (
    <Around {...props}>
      <textarea
        {...tied(props)}
        rows={props.rows ?? 3}
        value={props.value}
        maxLength={props.max}
        onInput={({ currentTarget }) => props.onType(currentTarget.value)}
      />
    </Around>
  );
}

/** One of a few, each as large as a thumb. */
export function Picks<T extends string>(props: {
  readonly name: string;
  readonly legend: string;
  /** The legend is said to readers only: the screen says it already. */
  readonly quiet?: boolean;
  readonly options: readonly (readonly [T, string])[];
  readonly value: T | undefined;
  readonly wrong?: string | undefined;
  readonly onPick: (value: T) => void;
}) {
  const { name, wrong } = props;
  return (
    <fieldset aria-describedby={wrong === undefined ? undefined : `${name}-wrong`}>
      <legend class={props.quiet === true ? 'away' : undefined}>{props.legend}</legend>
      {wrong === undefined ? null : (
        <span class="wrong" id={`${name}-wrong`} role="alert">
          {wrong}
        </span>
      )}
      {props.options.map(([value, says]) => (
        <label class="pick" key={value}>
          <input
            type="radio"
            name={name}
            value={value}
            checked={props.value === value}
            onChange={() => props.onPick(value)}
          />
          {says}
        </label>
      ))}
    </fieldset>
  );
}
