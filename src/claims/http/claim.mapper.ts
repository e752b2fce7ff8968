import type { FastifyReply } from 'fastify';
import { may, type Actor } from '../../access/access.contract.js';
import { setVersion } from '../../platform/http/versions.js';
import type { ClaimDossier } from '../claim-review.service.js';
import { verifyChain, type ClaimEvent } from '../claims.contract.js';
import { retailerTimeline, standsAt } from '../domain/retailer-view.js';
import type { ClaimDecisionRow, ClaimRow, InformationRequestRow } from '../store/claim.entity.js';
import type { ClaimLine } from '../store/claim-queue.read-model.js';
import type { ClaimDto, ClaimLineDto, DecisionViewDto, DossierDto, QuestionAnswerDto } from './claim-answers.dto.js';
import type { EventTrailDto, TimelineDto } from './claim-history.dto.js';

/** Whether an actor sees the inside of the desk: proposals before they are decided, reasons, names. */
export function seesTheDesk(actor: Actor): boolean {
  return may(actor, 'recovery.read');
}

export function claimDto(
  row: ClaimRow,
  outcome: ClaimDecisionRow['outcome'] | null = null,
  question: string | null = null,
): ClaimDto {
  return {
    id: row.id,
    number: row.number,
    state: row.state,
    standing: standsAt(row.state, outcome, row.promisedAt, question),
    ground: row.ground,
    ...(row.returnReason === null ? {} : { returnReason: row.returnReason }),
    ...(row.wish === null ? {} : { wish: row.wish }),
    ...(row.words === null ? {} : { words: row.words }),
    visitId: row.visitId,
    ...(row.inspectionId === null ? {} : { inspectionId: row.inspectionId }),
    currency: row.currency,
    noticedAt: row.noticedAt,
    ...(row.filedAt === null ? {} : { filedAt: row.filedAt }),
    ...(row.decidedAt === null ? {} : { decidedAt: row.decidedAt }),
    version: row.version,
  };
}

/** Answers with a claim and tells its version. */
export function answerWith(reply: FastifyReply, row: ClaimRow): ClaimDto {
  setVersion(reply, row.version);
  return claimDto(row);
}

/** A line of a list. Outside the desk, what is only proposed is not shown. */
export function lineDto(line: ClaimLine, actor: Actor): ClaimLineDto {
  const { promisedAt, dueAt, dueClock, awaitingSecondPerson, takenBy, totalMinor, remedies, ...plain } = line;
  const standing = standsAt(line.state, outcomeOf(line.outcome), promisedAt, null);
  if (!seesTheDesk(actor)) return { ...plain, standing, ...(line.outcome === null ? {} : { totalMinor, remedies }) };
  return { ...plain, standing, dueAt, dueClock, totalMinor, remedies, awaitingSecondPerson, takenBy };
}

/** The timeline as the retailer and the crew read it. */
export function timelineDto(row: ClaimRow, dossier: ClaimDossier, events: readonly ClaimEvent[]): TimelineDto {
  const items = retailerTimeline(events);
  return { standing: claimDto(row, standingOutcome(dossier), openQuestion(dossier)).standing, items };
}

/** The whole trail with the result of checking its chain. */
export function trailDto(claimId: string, events: readonly ClaimEvent[]): EventTrailDto {
  const fault = verifyChain(claimId, events);
  const items = events.map(({ claim: _claim, ...event }) => event);
  return { whole: fault === undefined, ...(fault ? { fault: fault.detail } : {}), items };
}

export function dossierDto(row: ClaimRow, dossier: ClaimDossier, actor: Actor): DossierDto {
  const desk = seesTheDesk(actor);
  const shown = desk
    ? dossier.decisions
    : dossier.decisions.filter(({ state }) => state === 'standing' || state === 'superseded');
  return {
    claim: claimDto(row, standingOutcome(dossier), openQuestion(dossier)),
    ...(desk && dossier.assessment ? { assessment: dossier.assessment.assessment } : {}),
    decisions: shown.map((decision) => decisionDto(decision, row.currency, desk)),
    questions: dossier.questions.map(questionDto),
  };
}

/** The outcome of the decision that stands. */
function standingOutcome(dossier: ClaimDossier): ClaimDecisionRow['outcome'] | null {
  return dossier.decisions.find(({ state }) => state === 'standing')?.outcome ?? null;
}

/** The question that is waiting for an answer, newest last. */
function openQuestion(dossier: ClaimDossier): string | null {
  return dossier.questions.findLast(({ answeredAt }) => answeredAt === null)?.asked ?? null;
}

function decisionDto(row: ClaimDecisionRow, currency: string, desk: boolean): DecisionViewDto {
  const { n, state, outcome, totalMinor, decidedAt, body } = row;
  const { remedies, toRetailer } = body;
  const said = toRetailer === undefined ? {} : { toRetailer };
  const plain = { n, state, outcome, remedies, totalMinor, currency, decidedAt, ...said };
  if (!desk) return plain;
  return {
    ...plain,
    decidedBy: body.decidedByName,
    overrides: body.overrides,
    ...(body.explanations === undefined ? {} : { explanations: body.explanations }),
    ...(body.confirmedByName === undefined ? {} : { confirmedBy: body.confirmedByName }),
    ...(body.sentBackBecause === undefined ? {} : { sentBackBecause: body.sentBackBecause }),
    ...(row.reasonCode === null ? {} : { reason: row.reasonCode }),
    ...(row.words === null ? {} : { words: row.words }),
  };
}

function questionDto(row: InformationRequestRow): QuestionAnswerDto {
  return {
    asked: row.asked,
    of: row.ofParty,
    askedAt: row.askedAt,
    ...(row.answer === null ? {} : { answer: row.answer }),
    ...(row.answeredAt === null ? {} : { answeredAt: row.answeredAt }),
  };
}

function outcomeOf(text: string | null): ClaimDecisionRow['outcome'] | null {
  return text === 'approved' || text === 'approved in part' || text === 'declined' ? text : null;
}
