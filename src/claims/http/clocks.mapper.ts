import type { ClaimClockRow } from '../store/claim-clock.entity.js';
import type { DueLine } from '../store/due-list.read-model.js';
import type { ClockView, DueLineView } from './clocks.dto.js';

const HOURS = 24;

export function clockView(row: ClaimClockRow): ClockView {
  return view(row.clockId, row);
}

/** @param now the instant from which the days are counted */
export function dueLineView(line: DueLine, now: Temporal.Instant): DueLineView {
  const hours = now.until(Temporal.Instant.from(line.endsAt)).total('hours');
  return {
    ...view(line.clock, line),
    claimId: line.claimId,
    ...(line.number === null ? {} : { number: line.number }),
    daysLeft: Math.floor(hours / HOURS),
  };
}

type Shown = Pick<
  ClaimClockRow,
  | 'occurrence'
  | 'title'
  | 'ground'
  | 'source'
  | 'owedBy'
  | 'lapse'
  | 'effect'
  | 'state'
  | 'startedAt'
  | 'lastDay'
  | 'endsAt'
  | 'missedAt'
> &
  Partial<Pick<ClaimClockRow, 'pausedAt' | 'stoppedAt'>> & { readonly warnedAt: readonly string[] };

/** The members of a view, without its class. */
type Plain = { [K in keyof ClockView]: ClockView[K] };

function view(clock: string, shown: Shown): Plain {
  const { occurrence, title, ground, source, owedBy, lapse, effect, state } = shown;
  const { startedAt, pausedAt = null, stoppedAt = null, lastDay, endsAt, missedAt } = shown;
  const times = { startedAt, pausedAt, stoppedAt, lastDay, endsAt, missedAt };
  const known = Object.fromEntries(Object.entries(times).filter(([, at]) => at !== null)) as Partial<
    Record<keyof typeof times, string>
  >;
  const plain = { clock, occurrence, title, ground, source, owedBy, lapse, effect, state };
  return { ...plain, warnings: shown.warnedAt.length, ...known };
}
