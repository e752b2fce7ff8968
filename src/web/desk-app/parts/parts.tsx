import { Fragment, type ReactNode } from 'react';
import type { Tone } from '../../domain/state-marks.js';
import { showTime } from '../../domain/time-words.js';
import { CAUTION } from '../../domain/trade-words.js';

export { Mark } from './mark.js';

/** A set-off remark. */
export function Note(props: {
  readonly tone: Tone;
  readonly title?: string;
  readonly children?: ReactNode;
}): ReactNode {
  return (
    <div className={`note ${props.tone}`}>
      {props.title === undefined ? null : <strong>{props.title}</strong>}
      {props.children}
    </div>
  );
}

/** An instant in the time of a place. */
export function Time({ at, zone }: { readonly at: string; readonly zone?: string | undefined }): ReactNode {
  return <time dateTime={at}>{showTime(at, zone)}</time>;
}

/** The caution beside clocks, policies and amounts. */
export function Caution(): ReactNode {
  return <p className="small quiet">{CAUTION}</p>;
}

/** Facts as pairs of a word and what it is; pairs without a value are left out. */
export function Facts({ of }: { readonly of: readonly (readonly [string, ReactNode])[] }): ReactNode {
  return (
    <dl className="facts">
      {of
        .filter(([, value]) => value !== null && value !== undefined && value !== '')
        .map(([name, value]) => (
          <Fragment key={name}>
            <dt>{name}</dt>
            <dd>{value}</dd>
          </Fragment>
        ))}
    </dl>
  );
}
