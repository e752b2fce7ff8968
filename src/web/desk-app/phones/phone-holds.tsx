import type { ReactNode } from 'react';
import { count } from '../../domain/time-words.js';
import { sentenceCase } from '../../domain/trade-words.js';
import type { PhoneFile } from '../api/phones.js';
import { Time } from '../parts/parts.js';

/** Photo by photo and number by number, what a phone has told of and not sent. */
export function PhoneHolds({ file }: { readonly file: Pick<PhoneFile, 'photos' | 'missing' | 'refused'> }): ReactNode {
  const { photos, missing, refused } = file;
  return (
    <div className="stack">
      {photos.length === 0 ? null : (
        <table className="cards">
          <caption>Photos that it holds</caption>
          <thead>
            <tr>
              <th scope="col">Check</th>
              <th scope="col">Shows</th>
              <th scope="col">Taken, by the phone’s clock</th>
            </tr>
          </thead>
          <tbody>
            {photos.map(({ photo, item, shows, takenAt }) => (
              <tr key={photo}>
                <th scope="row">{sentenceCase(item.replaceAll('-', ' '))}</th>
                <td data-label="Shows">{shows.replaceAll('-', ' ')}</td>
                <td data-label="Taken">
                  <Time at={takenAt} />
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {missing.length === 0 ? null : (
        <p>
          It has counted further than it sent: {count(missing.length, 'note')} never came ({rangesOf(missing)}). Nobody
          knows what was noted there, and answers behind it wait.
        </p>
      )}
      {refused.length === 0 ? null : (
        <p className="quiet">
          {count(refused.length, 'note')} came and could not be done; the case shows what they say and why.
        </p>
      )}
    </div>
  );
}

/** "number 3, 5 to 8". @param numbers lowest first */
function rangesOf(numbers: readonly number[]): string {
  const ranges: [number, number][] = [];
  for (const n of numbers) {
    const last = ranges.at(-1);
    if (last !== undefined && last[1] === n - 1) last[1] = n;
    else ranges.push([n, n]);
  }
  return `number ${ranges.map(([from, to]) => (from === to ? String(from) : `${from} to ${to}`)).join(', ')}`;
}
