import type { VNode } from 'preact';
import type { Ground } from '../../kernel/vocabulary.js';
import { boardView } from '../domain/board-views.js';
import { EXPORT_COLUMNS } from '../domain/claims-export.js';
import { wishQuery, type Every, type ExportWish } from '../domain/export-wish.js';
import { count, showDate } from '../domain/time-words.js';
import { GROUND_WORDS } from '../domain/trade-words.js';
import type { PastExport } from '../store/claim-export.store.js';
import { Time } from './parts.js';
import type { RetailerExportView } from './retailer-export.js';

export const EVERY_WORDS: Readonly<Record<Every, string>> = {
  week: 'Every Monday',
  month: 'On the first of every month',
};

/** What is made by itself, and the way to end it. */
export function Schedules({ schedules }: RetailerExportView): VNode {
  return (
    <section class="sheet stack" id="schedules">
      <h2>Made by themselves</h2>
      {schedules.length === 0 ? (
        <p class="quiet">None. Choose above what should be in it, then open “Have it made by itself”.</p>
      ) : (
        <ul class="plain stack">
          {schedules.map(({ id, every, wish, madeBy, nextAt }) => (
            <li class="row spread">
              <span>
                {EVERY_WORDS[every]}: {wishWords(wish)}
                <span class="sub">
                  Next on <Time at={nextAt} /> · set up by {madeBy}
                </span>
              </span>
              <form method="post" action={`/claims/export/schedules/${id}/end`}>
                <button class="linklike">
                  End it <span class="away">({wishWords(wish)})</span>
                </button>
              </form>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

/** What was taken and made so far. */
export function Past({ past }: RetailerExportView): VNode {
  return (
    <section class="sheet stack" id="past">
      <h2>Files so far</h2>
      {past.length === 0 ? (
        <p class="quiet">None yet. Whatever anybody of your company takes is listed here, with who and when.</p>
      ) : (
        <table class="cards">
          <caption class="away">Files so far, the newest first</caption>
          <thead>
            <tr>
              <th scope="col">When</th>
              <th scope="col">What</th>
              <th scope="col">Claims</th>
              <th scope="col">File</th>
            </tr>
          </thead>
          <tbody>
            {past.map((each) => (
              <tr>
                <th scope="row">
                  <Time at={each.madeAt} />
                  <span class="sub">
                    {each.every === null ? `taken by ${each.madeBy}` : `by itself, set up by ${each.madeBy}`}
                  </span>
                </th>
                <td data-label="What">{wishWords(each.wish)}</td>
                <td data-label="Claims">{each.claims ?? 'not counted'}</td>
                <td>
                  <FileOf of={each} />
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      <p class="small quiet">
        Files that were made by themselves are kept, the last 26 of each. Of a file that somebody took, only this line
        is kept.
      </p>
    </section>
  );
}

function FileOf({ of }: { readonly of: PastExport }): VNode {
  if (of.failure !== null) return <span>{of.failure}</span>;
  if (of.isKept) {
    return (
      <a href={`/claims/export/past/${of.id}`} download>
        Take this file <span class="away">of {of.madeAt.slice(0, 10)}</span>
      </a>
    );
  }
  return (
    <a href={`/claims/export?${wishQuery(of.wish)}#wish`}>
      Choose the same again <span class="away">as on {of.madeAt.slice(0, 10)}</span>
    </a>
  );
}

/** "open claims about damage, opened 1 Mar 2026 to 7 Mar 2026, 14 columns, CSV". */
function wishWords({ view, ground, find, from, to, columns, format, newOnly }: ExportWish): string {
  const said = [
    view === 'all' ? 'all claims' : `claims under “${boardView(view).says}”`,
    ground === '' ? '' : `about ${aboutWords(ground)}`,
    find === '' ? '' : `with “${find}”`,
    openedWords(from, to),
    newOnly === true && from === '' ? 'opened in that week or month' : '',
    columns.length === EXPORT_COLUMNS.length ? '' : count(columns.length, 'column'),
    format.toUpperCase(),
  ];
  return said.filter((part) => part !== '').join(', ');
}

function aboutWords(ground: Ground): string {
  return GROUND_WORDS[ground].toLowerCase();
}

function openedWords(from: string, to: string): string {
  if (from === '' && to === '') return '';
  if (to === '') return `opened from ${showDate(from)}`;
  return from === '' ? `opened until ${showDate(to)}` : `opened ${showDate(from)} to ${showDate(to)}`;
}
