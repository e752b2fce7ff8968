import { CLOCK_STARTS } from '../../../../kernel/clock-starts.js';
import { GROUNDS, PARTIES, RECEIPTS } from '../../../../kernel/vocabulary.js';
import type { ClockRule, PolicyDocument } from '../../../../policies/policies.contract.js';
import type { GridColumn, GridModel } from './grid-model.js';
import { wholeOf } from './written-values.js';

type Kind = 'text' | 'length' | 'whole' | 'flag' | 'list' | 'wholes';
type Member = Exclude<keyof ClockRule, 'id'>;
interface Field extends GridColumn {
  readonly id: Member;
  readonly kind: Kind;
}

const field = (id: Member, head: string, kind: Kind, takes: string, offers?: readonly string[]): Field => ({
  id,
  head,
  kind,
  takes,
  part: 'words',
  ...(offers === undefined ? {} : { offers }),
});
const LENGTH = 'a whole number, or a parameter that holds one';

const FIELDS: readonly Field[] = [
  field('title', 'Title', 'text', 'what people read'),
  field('starts', 'Starts when', 'text', 'what starts it', CLOCK_STARTS),
  field('length', 'Length', 'length', LENGTH),
  field('unit', 'Unit', 'text', 'what the length counts', ['hours', 'calendar days', 'business days', 'months']),
  field('stops', 'Met when', 'text', 'what meets it', CLOCK_STARTS),
  field('owedBy', 'Owed by', 'text', 'who owes it', [...PARTIES, 'service']),
  field('lapse', 'If it lapses', 'text', 'what follows', ['barred', 'burden shifts', 'breach', 'internal']),
  field('ground', 'Ground', 'text', 'law, contract or promise'),
  field('source', 'Source', 'text', 'where it is written'),
  field('week', 'Week', 'text', 'days of business', ['monday to friday', 'monday to saturday']),
  field('inclusive', 'First day counts', 'flag', 'yes, or nothing', ['yes']),
  field('rolls', 'Rolls to a business day', 'flag', 'yes, or nothing', ['yes']),
  field('grounds', 'Only for claims of', 'list', `of ${GROUNDS.join(', ')}; with commas`),
  field('receipts', 'Only for receipts', 'list', `of ${RECEIPTS.join(', ')}; with commas`),
  field('transports', 'Only for carriage', 'list', 'kinds of carriage, with commas'),
  field('safetyOnly', 'Only where safety reports', 'flag', 'yes, or nothing', ['yes']),
  field('onceStarted', 'Silent before it starts', 'flag', 'yes, or nothing', ['yes']),
  field('laterOf', 'Or the later of', 'list', 'further starts, with commas'),
  field('floor', 'Never shorter than', 'length', LENGTH),
  field('pausedBy', 'Paused when', 'text', 'what stops the count', CLOCK_STARTS),
  field('resumedBy', 'Goes on when', 'text', 'what starts it again', CLOCK_STARTS),
  field('waitInclusive', 'Both days wait', 'flag', 'yes, or nothing', ['yes']),
  field('afterWait', 'Days left at least', 'whole', 'a whole number'),
  field('extendedBy', 'Lengthened when', 'text', 'what lengthens it once', CLOCK_STARTS),
  field('extension', 'By', 'length', LENGTH),
  field('repeatsEvery', 'Again every', 'length', LENGTH),
  field('warnDays', 'Warn days before', 'wholes', 'whole numbers, with commas'),
];

const COLUMNS: readonly GridColumn[] = [
  { id: 'id', head: 'Clock', takes: 'an id that never changes', part: 'name', fixed: true },
  ...FIELDS,
];

/** The deadlines that a policy starts. */
export function clockGrid(document: PolicyDocument): GridModel {
  const rows = (document.clocks ?? []).map((clock) => ({
    key: clock.id,
    texts: [clock.id, ...FIELDS.map(({ id }) => textOf(clock[id]))],
  }));
  return { label: 'Clocks that the policy starts', columns: COLUMNS, rows, movable: 0 };
}

function textOf(value: ClockRule[Member]): string {
  if (value === undefined || value === false) return '';
  if (value === true) return 'yes';
  return typeof value === 'object' ? value.join(', ') : String(value);
}

/** Row of a clock; undefined where there is no such clock. */
export function rowOfClock(document: PolicyDocument, id: string): number | undefined {
  const row = (document.clocks ?? []).findIndex((clock) => clock.id === id);
  return row < 0 ? undefined : row;
}

/** Writes a cell of the grid above. */
export function writeClock(document: PolicyDocument, row: number, column: string, text: string): PolicyDocument {
  const clock = document.clocks?.[row];
  const of = FIELDS.find(({ id }) => id === column);
  if (clock === undefined || of === undefined) return document;
  const value = valueOf(of.kind, text.trim());
  const members = Object.entries(clock).filter(([name]) => name !== column);
  // What is written is of the kind that the member takes, or is told as a fault by the checker.
  const next = Object.fromEntries(
    value === undefined ? members : [...members, [column, value]],
  ) as unknown as ClockRule;
  return { ...document, clocks: document.clocks!.with(row, next) };
}

function valueOf(kind: Kind, text: string): unknown {
  if (text === '') return undefined;
  const items = text.split(',').map((item) => item.trim());
  switch (kind) {
    case 'text':
      return text;
    case 'length':
    case 'whole':
      return wholeOf(text) ?? text;
    case 'flag':
      return /^(yes|true)$/i.test(text) ? true : undefined;
    case 'list':
      return items.filter((item) => item !== '');
    case 'wholes':
      return items.filter((item) => item !== '').map((item) => wholeOf(item) ?? item);
  }
}
