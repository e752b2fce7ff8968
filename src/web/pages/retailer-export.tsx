import type { VNode } from 'preact';
import { GROUNDS, type Ground } from '../../kernel/vocabulary.js';
import { BOARD_VIEWS, boardView } from '../domain/board-views.js';
import { EXPORT_COLUMNS, type ExportColumn } from '../domain/claims-export.js';
import { wishQuery, type Every, type ExportWish } from '../domain/export-wish.js';
import { count, showDate } from '../domain/time-words.js';
import { GROUND_WORDS } from '../domain/trade-words.js';
import { faultAt, text, texts, type Form, type Trouble } from '../form-fields.js';
import type { ExportSchedule, PastExport } from '../store/claim-export.store.js';
import { Office, type Onlooker } from './layout.js';
import { Choose, Note, TextLine, Time, TroubleNote } from './parts.js';

export interface RetailerExportView {
  readonly onlooker: Onlooker;
  readonly past: readonly PastExport[];
  readonly schedules: readonly ExportSchedule[];
  readonly typed: Form;
  readonly trouble?: Trouble | undefined;
  readonly done?: 'made' | 'ended' | undefined;
}

const COLUMN_WORDS: Readonly<Record<ExportColumn, string>> = {
  claim: 'Claim number',
  order: 'Order',
  item: 'Item',
  serial: 'Serial number',
  about: 'What it is about',
  state: 'State',
  outcome: 'Outcome',
  remedies: 'What your customer gets',
  amount: 'Amount',
  currency: 'Currency',
  next: 'What happens next',
  'next by': 'By when',
  opened: 'Opened',
  changed: 'Last change',
};

const DONE = {
  made: {
    title: 'The file will be made by itself.',
    says: 'It stands under “Files so far” when it is there. We send no message about it.',
  },
  ended: { title: 'It is ended.', says: 'No further file is made. Those that were made stay.' },
} as const;

const EVERY_WORDS: Readonly<Record<Every, string>> = { week: 'Every Monday', month: 'On the first of every month' };

/** The retailer's claims as files: once, or by the week or the month. */
export function RetailerExport(view: RetailerExportView): VNode {
  const done = view.done === undefined ? undefined : DONE[view.done];
  return (
    <Office title="Export" onlooker={view.onlooker} at="/claims/export">
      <div class="stack">
        <h1>Take your claims with you</h1>
        <p class="lead">One line a claim. Amounts that are not decided yet are left out. Days are days in UTC.</p>
        <TroubleNote trouble={view.trouble} />
        {done === undefined ? null : (
          <Note tone="ok" title={done.title}>
            <p>{done.says}</p>
          </Note>
        )}
        <Wish {...view} />
        <Schedules {...view} />
        <Past {...view} />
      </div>
    </Office>
  );
}

/** One form: its first button takes the file, the other has it made by itself. */
function Wish({ typed, trouble }: RetailerExportView): VNode {
  return (
    <form method="get" action="/claims/export/file" class="sheet stack" id="wish">
      <h2>Which claims, and what of them</h2>
      <input type="hidden" name="picked" value="yes" />
      <div class="grid">
        <Choose
          id="export-view"
          name="view"
          label="Claims"
          value={text(typed, 'view')}
          options={BOARD_VIEWS.map(({ id, says }) => [id, says] as const)}
        />
        <Choose
          id="export-ground"
          name="ground"
          label="About"
          none="Anything"
          value={text(typed, 'ground')}
          options={GROUNDS.map((ground) => [ground, GROUND_WORDS[ground]] as const)}
        />
        <TextLine
          id="export-find"
          name="find"
          label="Claim number, serial or order"
          value={text(typed, 'find').slice(0, 80)}
          max={80}
        />
        <TextLine
          id="export-from"
          name="from"
          label="Opened from"
          type="date"
          value={text(typed, 'from')}
          trouble={trouble}
        />
        <TextLine
          id="export-to"
          name="to"
          label="Opened until"
          hint="That day is included"
          type="date"
          value={text(typed, 'to')}
          trouble={trouble}
        />
        <Choose
          id="export-format"
          name="format"
          label="Kind of file"
          value={text(typed, 'format')}
          options={[
            ['csv', 'CSV for a spreadsheet'],
            ['json', 'JSON for a program'],
          ]}
        />
      </div>
      <Columns typed={typed} trouble={trouble} />
      <div class="row">
        <button class="go">Take the file now</button>
      </div>
      <details open={text(typed, 'every') !== ''}>
        <summary>Have it made by itself</summary>
        <div class="stack">
          <Choose
            id="export-every"
            name="every"
            label="How often"
            hint="At 09:00 UTC. The dates above do not count for it."
            none="Choose"
            value={text(typed, 'every')}
            options={[
              ['week', EVERY_WORDS.week],
              ['month', EVERY_WORDS.month],
            ]}
            trouble={trouble}
          />
          <label class="pick">
            <input type="checkbox" name="newOnly" value="yes" checked={text(typed, 'newOnly') === 'yes'} />
            <span>Only claims that were opened in that week or month</span>
          </label>
          <button formaction="/claims/export/schedules" formmethod="post">
            Have it made by itself
          </button>
        </div>
      </details>
    </form>
  );
}

function Columns({ typed, trouble }: Pick<RetailerExportView, 'typed' | 'trouble'>): VNode {
  const named = texts(typed, 'columns');
  const wrong = faultAt(trouble, 'columns');
  return (
    <fieldset aria-describedby={wrong === undefined ? undefined : 'columns-wrong'}>
      <legend>Columns</legend>
      {wrong === undefined ? null : (
        <span class="wrong" id="columns-wrong">
          {wrong}
        </span>
      )}
      <div class="picks">
        {EXPORT_COLUMNS.map((column) => (
          <label class="pick">
            <input
              type="checkbox"
              name="columns"
              value={column}
              checked={named.length === 0 || named.includes(column)}
            />
            <span>{COLUMN_WORDS[column]}</span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}

function Schedules({ schedules }: RetailerExportView): VNode {
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

function Past({ past }: RetailerExportView): VNode {
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
