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

const CHECKS = {
  match: { says: 'Same serial', shape: 'tick', tone: 'ok' },
  differs: { says: 'Something else', shape: 'triangle', tone: 'bad' },
  none: { says: 'No code read', shape: 'ring', tone: 'warn' },
} as const;

/** Codes that were read from a photo, beside the serial number that they should say. Earlier readings hold none. */
export function Labels({ reading }: { readonly reading: PhotoReading | null }): ReactNode {
  const { labels = [], labelCheck } = reading ?? {};
  return (
    <>
      {labelCheck === undefined ? null : (
        <p>
          <Mark {...CHECKS[labelCheck.outcome]} />
          <span className="sub">{labelCheck.says.en}</span>
        </p>
      )}
      {labels.length === 0 ? null : (
        <table className="labels">
          <caption>Codes read from the photo{labelCheck && `; the unit is ${labelCheck.expected}`}</caption>
          <thead className="away">
            <tr>
              <th scope="col">Kind</th>
              <th scope="col">What it says</th>
            </tr>
          </thead>
          <tbody>
            {labels.map(({ symbology, text, serial, gtin, fault }) => (
              <tr key={`${symbology} ${text}`}>
                <th scope="row">{symbology}</th>
                <td>
                  <span className="nums">{text}</span>
                  {serial === undefined ? null : <span className="sub">Serial {serial}</span>}
                  {gtin === undefined ? null : <span className="sub">Item {gtin}</span>}
                  {fault === undefined ? null : <span className="sub">{sentenceCase(fault)}</span>}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </>
  );
}
