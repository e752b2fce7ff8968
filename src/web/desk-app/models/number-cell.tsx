import { useEffect, useState, type ReactNode } from 'react';
import type { Fault } from '../../../kernel/outcome.js';
import { readNumber } from './model-edits.js';

/** The id of the control that a pointer into the document leads to. */
export function controlAt(pointer: string): string {
  return `at-${pointer.replace(/^#\//, '').replaceAll('/', '-')}`;
}

export function faultAt(faults: readonly Fault[], pointer: string): string | undefined {
  return faults.find((one) => one.pointer === pointer)?.detail;
}

interface NumberCellProps {
  readonly pointer: string;
  readonly label: string;
  readonly value: number | string | undefined;
  readonly faults: readonly Fault[];
  /** Shown while nothing stands there. */
  readonly instead?: number | string | undefined;
  /** @param value undefined where the cell was emptied and may be */
  readonly onChange: (value: number | string | undefined) => void;
}

/** A number of the document as it is typed: what is no number stays as it is, with what is wrong beneath. */
export function NumberCell(props: NumberCellProps): ReactNode {
  const { pointer, label, value, faults, instead, onChange } = props;
  const [text, setText] = useState(value === undefined ? '' : String(value));
  const wrong = faultAt(faults, pointer);
  const id = controlAt(pointer);
  // Another value came from elsewhere: from undoing, or from what somebody else saved.
  useEffect(() => {
    setText((now) => (sameValue(now, value) ? now : value === undefined ? '' : String(value)));
  }, [value]);
  return (
    <>
      <input
        id={id}
        className="numbercell"
        inputMode="decimal"
        autoComplete="off"
        aria-label={label}
        aria-invalid={wrong === undefined ? undefined : true}
        aria-describedby={wrong === undefined ? undefined : `${id}-wrong`}
        placeholder={instead === undefined ? undefined : String(instead)}
        value={text}
        onChange={(event) => {
          const typed = event.currentTarget.value;
          setText(typed);
          onChange(typed === '' && instead !== undefined ? undefined : readNumber(typed));
        }}
      />
      {wrong === undefined ? null : (
        <span className="wrong" id={`${id}-wrong`}>
          {wrong}
        </span>
      )}
    </>
  );
}

function sameValue(text: string, value: number | string | undefined): boolean {
  return value === undefined ? text === '' : readNumber(text) === value;
}

interface WordCellProps {
  readonly pointer: string;
  readonly label: string;
  readonly value: string;
  readonly faults: readonly Fault[];
  readonly onChange: (value: string) => void;
  /** Whether the label stands on the page. */
  readonly shown?: boolean;
  readonly rows?: number;
}

/** Words of the document as they are typed. */
export function WordCell(props: WordCellProps): ReactNode {
  const { pointer, label, value, faults, onChange, shown = false, rows = 2 } = props;
  const wrong = faultAt(faults, pointer);
  const id = controlAt(pointer);
  const tied = {
    id,
    value,
    'aria-invalid': wrong === undefined ? undefined : true,
    'aria-describedby': wrong === undefined ? undefined : `${id}-wrong`,
    ...(shown ? {} : { 'aria-label': label }),
  };
  return (
    <div className="field">
      {shown ? <label htmlFor={id}>{label}</label> : null}
      {wrong === undefined ? null : (
        <span className="wrong" id={`${id}-wrong`}>
          {wrong}
        </span>
      )}
      {rows === 1 ? (
        <input {...tied} autoComplete="off" onChange={(event) => onChange(event.currentTarget.value)} />
      ) : (
        <textarea {...tied} rows={rows} onChange={(event) => onChange(event.currentTarget.value)} />
      )}
    </div>
  );
}
