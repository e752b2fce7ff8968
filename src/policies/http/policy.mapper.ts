import type { FastifyReply } from 'fastify';
import { toDocumentSummary } from '../../platform/documents/document-version.dto.js';
import { setVersion } from '../../platform/http/versions.js';
import type { StandingVersion, VersionLife } from '../policy-versions.service.js';
import type { PolicyStep, RecordedPeriod } from '../store/policy-calendar.store.js';
import type { PolicySummary, PolicyVersion } from './policy.dto.js';
import type { CalendarEntry, PolicyLife, StepView } from './policy-life.dto.js';

/** A version as a list shows it. */
export function toPolicySummary({ row, state, periods }: StandingVersion): Readonly<PolicySummary> {
  return {
    ...toDocumentSummary(row),
    state,
    jurisdiction: row.jurisdiction,
    effectiveFrom: row.effectiveFrom,
    ...(row.effectiveTo === null ? {} : { effectiveTo: row.effectiveTo }),
    ...(row.approvedAt === null ? {} : { approvedAt: row.approvedAt }),
    ...(row.approvedBy === null ? {} : { approvedBy: row.approvedBy }),
    periods: periods.map(({ from, to }) => ({ from, ...(to === null ? {} : { to }) })),
  };
}

/** A version with its document. */
export function toPolicyVersion(standing: StandingVersion): Readonly<PolicyVersion> {
  return { ...toPolicySummary(standing), document: standing.row.body };
}

/** Sends a version with its steps, and the count of its changes as entity tag. */
export function sendLife(reply: FastifyReply, life: VersionLife): Readonly<PolicyLife> {
  setVersion(reply, life.row.edit);
  return { ...toPolicyVersion(life), steps: life.steps.map(toStep) };
}

/** A place on the calendar with what was written down when. */
export function toCalendarEntry(period: RecordedPeriod): CalendarEntry {
  const { version, from, to, because, recordedAt, supersededAt } = period;
  return {
    version,
    from,
    ...(to === null ? {} : { to }),
    because,
    recordedAt,
    ...(supersededAt === null ? {} : { supersededAt }),
  };
}

function toStep({ n, kind, at, by, hash, words, body }: PolicyStep): StepView {
  return { n, kind, at, by, hash, ...(words === null ? {} : { words }), more: body };
}
