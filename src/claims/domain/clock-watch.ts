import type { Clock } from '../../adjudication/adjudication.contract.js';
import type { ClaimState } from '../../kernel/vocabulary.js';
import { isoInstant } from './iso-instant.js';

/** A clock of a claim with what was raised of it. Instants are RFC 3339 in UTC with milliseconds. */
export interface ClockRecord {
  readonly clockId: string;
  /** 1, or the turn of a clock that falls due again and again. */
  readonly occurrence: number;
  readonly title: string;
  readonly ground: string;
  readonly source: string;
  readonly owedBy: string;
  readonly lapse: string;
  readonly effect: string;
  /** `ended`: it no longer matters, because the claim is over or the clock no longer applies. */
  readonly state: Clock['state'] | 'ended';
  readonly startedAt: string | null;
  readonly pausedAt: string | null;
  readonly stoppedAt: string | null;
  readonly lastDay: string | null;
  readonly endsAt: string | null;
  readonly warnsAt: readonly string[];
  /** Those of the planned warnings that were raised, alone or together with a later one. */
  readonly warnedAt: readonly string[];
  /** When its miss was raised. */
  readonly missedAt: string | null;
}

/**
 * The record of a clock as it stands now, with what was raised of it before. A miss that was raised is forgotten where the clock has
 * since got another end that is not over, so that missing that one is raised too.
 */
export function recordOf(clock: Clock, known: ClockRecord | undefined): ClockRecord {
  const endsAt = told(clock.endsAt);
  const anew = known !== undefined && known.endsAt !== endsAt && clock.state !== 'missed';
  const { id, title, ground, source, owedBy, lapse, effect, state, lastDay } = clock;
  return {
    clockId: id,
    occurrence: clock.occurrence ?? 1,
    title,
    ground,
    source,
    owedBy,
    lapse,
    effect,
    state,
    startedAt: told(clock.startedAt),
    pausedAt: told(clock.pausedAt ?? null),
    stoppedAt: told(clock.stoppedAt ?? null),
    lastDay,
    endsAt,
    warnsAt: clock.warnsAt.map((at) => isoInstant(Temporal.Instant.from(at))),
    warnedAt: known?.warnedAt ?? [],
    missedAt: anew ? null : (known?.missedAt ?? null),
  };
}

function told(at: string | null): string | null {
  return at === null ? null : isoInstant(Temporal.Instant.from(at));
}

/** A record that no longer matters. One that was met, or whose miss was raised, stays as it was. */
export function ended(record: ClockRecord): ClockRecord {
  const unraised = record.state === 'missed' && record.missedAt === null;
  const open = record.state === 'running' || record.state === 'not started' || unraised;
  return open ? { ...record, state: 'ended' } : record;
}

/** Clocks that go on when the claim itself is over. */
export interface Outliving {
  /** A hazard does not end with the claim. */
  readonly safety: ReadonlySet<string>;
  /** The dispute with the carrier goes on when the customer has been served. */
  readonly carrier: ReadonlySet<string>;
}

/** Whether a clock still matters in a state of the claim. @param served whether a remedy was given for which a carrier may answer */
export function matters(id: string, state: ClaimState, outliving: Outliving, served: boolean): boolean {
  if (state === 'withdrawn') return outliving.safety.has(id);
  if (state === 'closed') return outliving.safety.has(id) || (served && outliving.carrier.has(id));
  return true;
}

/** When somebody has to look at a clock next: at its next warning or its end, or now for a miss that was never raised. */
export function nextLook(record: ClockRecord): string | null {
  if (record.state === 'missed') return record.missedAt === null ? record.endsAt : null;
  if (record.state !== 'running') return null;
  if (record.endsAt === null) return null;
  const open = record.warnsAt.filter((at) => !record.warnedAt.includes(at));
  return open.reduce((least, at) => (at < least ? at : least), record.endsAt);
}

/** What is to be raised of a clock at an instant: at most one warning, however many went by unseen, or its miss. */
export function raiseOf(
  record: ClockRecord,
  at: string,
): { readonly kind: 'clock-warned' | 'clock-missed'; readonly after: ClockRecord } | undefined {
  if (record.state === 'missed') {
    return record.missedAt === null ? { kind: 'clock-missed', after: { ...record, missedAt: at } } : undefined;
  }
  if (record.state !== 'running' || record.endsAt === null) return undefined;
  const due = record.warnsAt.filter((warning) => warning <= at && !record.warnedAt.includes(warning));
  return due.length === 0
    ? undefined
    : { kind: 'clock-warned', after: { ...record, warnedAt: [...record.warnedAt, ...due] } };
}

/** The running clock that ends first; a claim that is over has none. */
export function nearestDue(
  records: readonly ClockRecord[],
  state: ClaimState,
): { readonly dueAt: string | null; readonly dueClock: string | null } {
  const over = state === 'settled' || state === 'closed' || state === 'withdrawn';
  const [first] = over
    ? []
    : records
        .flatMap(({ state: stands, endsAt, title }) =>
          stands === 'running' && endsAt !== null ? [{ endsAt, title }] : [],
        )
        .sort((a, b) => (a.endsAt < b.endsAt ? -1 : a.endsAt > b.endsAt ? 1 : 0));
  return { dueAt: first?.endsAt ?? null, dueClock: first?.title ?? null };
}

/**
 * By when the retailer may expect what comes next: the end of the nearest running clock that the house or the seller owes as a promise.
 * What is owed to or by a carrier, what a hazard runs and what only bars a right is no promise to anybody.
 */
export function nearestPromise(
  records: readonly ClockRecord[],
  state: ClaimState,
  { safety, carrier }: Outliving,
): string | null {
  const promises = records.filter(
    ({ clockId, lapse, owedBy }) =>
      (lapse === 'breach' || lapse === 'internal') &&
      (owedBy === 'service' || owedBy === 'seller') &&
      !safety.has(clockId) &&
      !carrier.has(clockId),
  );
  return nearestDue(promises, state).dueAt;
}
