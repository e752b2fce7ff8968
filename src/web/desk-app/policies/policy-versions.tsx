import { Link } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { daysInWords, VERSION_MARKS } from '../../domain/policy-marks.js';
import { showDate } from '../../domain/time-words.js';
import type { CalendarEntry, VersionLine } from '../api/policies.js';
import { Mark, Time } from '../parts/parts.js';
import { differenceOf, fileOf, rehearseOf, reviewOf, sheetOf } from './addresses.js';

interface VersionsProps {
  readonly code: string;
  readonly versions: readonly VersionLine[];
  readonly nameOf: (id: string | undefined) => string;
}

/** The versions from the newest back, each with its days, its people and where it leads. */
export function Versions({ code, versions, nameOf }: VersionsProps): ReactNode {
  return (
    <section className="sheet" id="versions">
      <h2>Versions</h2>
      <ol className="plain timeline">
        {versions.toReversed().map((line) => (
          <li key={line.version}>
            <div className="row spread">
              <h3>
                <Link to={sheetOf(code, line.version)}>Version {line.version}</Link>
              </h3>
              <Mark {...VERSION_MARKS[line.state]} />
            </div>
            <p>{holdsWords(line)}</p>
            <p className="quiet">
              Written by {nameOf(line.createdBy)}, <Time at={line.createdAt} />
              {line.approvedAt === undefined ? null : (
                <>
                  ; approved by {nameOf(line.approvedBy)}, <Time at={line.approvedAt} />
                </>
              )}
            </p>
            <p className="row leads">
              <Link to={reviewOf(code, line.version)}>Review{nextStep(line)}</Link>
              <Link to={differenceOf(code, line.version)}>Difference</Link>
              <Link to={rehearseOf(code, line.version)}>Rehearse</Link>
              <Files code={code} version={line.version} />
            </p>
          </li>
        ))}
      </ol>
    </section>
  );
}

/** A version as files for other programs. */
export function Files({ code, version }: { readonly code: string; readonly version: number }): ReactNode {
  const formats = [
    ['dmn', 'DMN'],
    ['csv', 'CSV'],
    ['md', 'Markdown'],
    ['json', 'JSON'],
  ] as const;
  return (
    <span>
      As a file:{' '}
      {formats.map(([format, says], n) => (
        <span key={format}>
          {n === 0 ? '' : ', '}
          <a href={fileOf(code, version, format)} download aria-label={`Version ${version} as ${says}`}>
            {says}
          </a>
        </span>
      ))}
    </span>
  );
}

function nextStep({ state }: VersionLine): string {
  if (state === 'draft') return ' and propose';
  if (state === 'proposed') return ' and approve';
  if (state === 'approved') return ' and publish';
  return '';
}

function holdsWords({ state, periods, effectiveFrom, effectiveTo }: VersionLine): string {
  if (periods.length > 0)
    return `Holds ${periods.map(({ from, to }) => daysInWords(from, to, showDate)).join(', and ')}.`;
  const wanted = daysInWords(effectiveFrom, effectiveTo, showDate);
  if (state === 'superseded' || state === 'withdrawn')
    return `Holds on no day any more; it was written to hold ${wanted}.`;
  return `Is to hold ${wanted}.`;
}

const WHY: Readonly<Record<CalendarEntry['because'], string>> = {
  published: 'put on the calendar',
  cut: 'what another version left of it',
  restored: 'given back when another was withdrawn',
};

/** Everything that was ever on the calendar; nothing in it is changed, what no longer counts says since when. */
export function Calendar({ calendar }: { readonly calendar: readonly CalendarEntry[] }): ReactNode {
  if (calendar.length === 0) return null;
  return (
    <section className="sheet" id="calendar">
      <h2>Calendar</h2>
      <div className="scroll" tabIndex={0} role="region" aria-label="Calendar">
        <table>
          <caption>Which version holds on which days, and when the house wrote that down.</caption>
          <thead>
            <tr>
              <th scope="col">Version</th>
              <th scope="col">Days</th>
              <th scope="col">Why</th>
              <th scope="col">Written down</th>
              <th scope="col">Counts</th>
            </tr>
          </thead>
          <tbody>
            {calendar.toReversed().map((entry) => (
              <tr key={`${entry.version} ${entry.from} ${entry.recordedAt} ${entry.because}`}>
                <th scope="row">{entry.version}</th>
                <td>{daysInWords(entry.from, entry.to, showDate)}</td>
                <td>{WHY[entry.because]}</td>
                <td>
                  <Time at={entry.recordedAt} />
                </td>
                <td>
                  {entry.supersededAt === undefined ? (
                    <Mark shape="tick" tone="ok" says="Now" />
                  ) : (
                    <>
                      until <Time at={entry.supersededAt} />
                    </>
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}
