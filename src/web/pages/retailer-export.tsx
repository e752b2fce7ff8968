import type { VNode } from 'preact';
import { GROUNDS } from '../../kernel/vocabulary.js';
import { BOARD_VIEWS } from '../domain/board-views.js';
import { EXPORT_COLUMNS, type ExportColumn } from '../domain/claims-export.js';
import { GROUND_WORDS } from '../domain/trade-words.js';
import { faultAt, text, texts, type Form, type Trouble } from '../form-fields.js';
import type { ExportSchedule, PastExport } from '../store/claim-export.store.js';
import { Office, type Onlooker } from './layout.js';
import { Choose, Note, TextLine, TroubleNote } from './parts.js';
import { EVERY_WORDS, Past, Schedules } from './retailer-export-files.js';

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
