import type { ReactNode } from 'react';
import type { Doubt, PhotoQuality, PhotoReading } from '../../../../evidence/evidence.contract.js';
import { sentenceCase } from '../../../domain/trade-words.js';
import { Mark, Note } from '../../parts/parts.js';

/** How good a photo is to judge by, with what was measured and from where on it is said. */
export function Advice({ quality }: { readonly quality: PhotoQuality | undefined }): ReactNode {
  if (quality === undefined) return null;
  if (quality.advice.length === 0) return <Mark shape="tick" tone="ok" says="Good enough to judge" />;
  return quality.advice.map(({ flag, says, measured, threshold }) => (
    <Note key={flag} tone="warn">
      <p>
        {says.en} <Measured measured={measured} threshold={threshold} />
      </p>
    </Note>
  ));
}

/** What does not fit about a photo. None of it declines a claim; each is worth as much as its rate of false alarms says. */
export function Doubts({ doubts }: { readonly doubts: readonly Doubt[] }): ReactNode {
  return doubts.map(({ kind, says, measured, threshold, unit, weak, rate }) => (
    <Note key={`${kind} ${says}`} tone={weak === true ? 'plainly' : 'bad'} title={`Doubt: ${kind}`}>
      <p>
        {says} <Measured measured={measured} threshold={threshold} unit={unit} />
      </p>
      <p className="small quiet">
        {weak === true ? 'Next to nothing by itself. ' : ''}
        {rate === undefined
          ? 'How often this speaks up wrongly has not been measured.'
          : `It spoke up about ${rate.flagged} of ${rate.of} ${rate.among} that nothing was known against.`}
      </p>
    </Note>
  ));
}

function Measured(props: {
  readonly measured?: number | undefined;
  readonly threshold?: number | undefined;
  readonly unit?: string | undefined;
}): ReactNode {
  const { measured, threshold, unit } = props;
  if (measured === undefined || threshold === undefined) return null;
  return (
    <span className="quiet">
      Measured {plain(measured)}, limit {plain(threshold)}
      {unit === undefined || unit === 'year' ? '' : ` ${unit}`}.
    </span>
  );
}

function plain(value: number): string {
  return String(Math.round(value * 100) / 100);
}

/** A code that was read from a photo, as far as it is shown. */
interface ShownLabel {
  readonly symbology: string;
  readonly text: string;
  readonly serial?: string;
  readonly fault?: string;
}

/** Codes that were read from a photo, beside the serial number that they should say. Earlier readings hold none. */
export function Labels(props: { readonly reading: PhotoReading | null; readonly serial: string }): ReactNode {
  const labels = (props.reading as { readonly labels?: readonly ShownLabel[] } | null)?.labels ?? [];
  if (labels.length === 0) return null;
  return (
    <table className="labels">
      <caption>Codes read from the photo; the unit is {props.serial}</caption>
      <tbody>
        {labels.map((label) => (
          <tr key={`${label.symbology} ${label.text}`}>
            <th scope="row">{label.symbology}</th>
            <td>
              <span className="nums">{label.text}</span>
              {label.fault === undefined ? null : <span className="sub">{sentenceCase(label.fault)}</span>}
            </td>
            <td>
              <Compared label={label} serial={props.serial} />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Compared({ label, serial }: { readonly label: ShownLabel; readonly serial: string }): ReactNode {
  const read = (label.serial ?? label.text).trim().toUpperCase();
  if (read === serial.trim().toUpperCase()) return <Mark shape="tick" tone="ok" says="Same serial" />;
  if (label.serial !== undefined) return <Mark shape="triangle" tone="bad" says="Another serial" />;
  return <span className="quiet">No serial</span>;
}
