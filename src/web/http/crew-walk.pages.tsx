import { randomUUID } from 'node:crypto';
import { Injectable } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CatalogueService } from '../../catalogue/catalogue.service.js';
import { DiagnosisService } from '../../diagnosis/diagnosis.service.js';
import { EvidenceService } from '../../evidence/evidence.service.js';
import { InspectionWalkService, type WalkState } from '../../inspections/inspection-walk.service.js';
import { VisitsService } from '../../inspections/visits.service.js';
import { Clock } from '../../platform/clock.js';
import { Refused } from '../../platform/http/problems.js';
import { languageOf } from '../crew-language.js';
import { localField } from '../domain/time-words.js';
import { answerOf, say, standingStop, type Walk } from '../domain/walk-view.js';
import { text, type Form, type Trouble } from '../form-fields.js';
import { goTo, sendPage } from '../html.js';
import { CrewCheck } from '../pages/crew-check.js';
import type { CrewPhoto } from '../pages/crew-photos.js';
import { CrewSend } from '../pages/crew-send.js';
import { CrewStop } from '../pages/crew-stop.js';

/** How a refused form comes back. */
export interface Refilled {
  readonly trouble?: Trouble;
  readonly typed?: Form;
}

/** Most photos of one inspection that a page shows. */
const MOST_PHOTOS = 200;

/** The pages of a walk, which more than one form leads back to. */
@Injectable()
export class CrewWalkPages {
  constructor(
    private readonly walk: InspectionWalkService,
    private readonly visits: VisitsService,
    private readonly catalogue: CatalogueService,
    private readonly evidence: EvidenceService,
    private readonly diagnosis: DiagnosisService,
    private readonly clock: Clock,
  ) {}

  /** The page before sending; the claim's own controller shows it again when a claim is refused. */
  async showSend(
    actor: Actor,
    id: string,
    request: FastifyRequest,
    reply: FastifyReply,
    more: Refilled,
  ): Promise<void> {
    const state = await this.walk.read(actor, id);
    if (this.stopped(state, request, reply)) return;
    const visit = await this.visits.read(actor, state.row.visitId);
    const { oneMore, damaged } = await this.lookAhead(actor, state, languageOf(request));
    const page = (
      <CrewSend
        id={id}
        visitId={visit.id}
        walk={walkOf(state)}
        lang={languageOf(request)}
        finished={state.row.finishedAt !== null}
        photoCount={(await this.photos(actor, id)).length}
        nowLocal={localField(this.clock.now().toString(), visit.zone)}
        claimId={text(more.typed, 'claim') || randomUUID()}
        oneMore={oneMore}
        hold={damaged}
        {...more}
      />
    );
    sendPage(reply, page, more.trouble?.status ?? 200);
  }

  /** Answers with the stop that stands, where one does: nothing else of the inspection is shown before it is acknowledged. */
  stopped(state: WalkState, request: FastifyRequest, reply: FastifyReply, untouched = true): boolean {
    const stop = standingStop(walkOf(state));
    if (stop === undefined) return false;
    const page = <CrewStop id={state.row.id} stop={stop} lang={languageOf(request)} untouched={untouched} />;
    sendPage(reply, page, untouched ? 200 : 422);
    return true;
  }

  /** One check. One that is not asked any more leads on to what comes next. */
  async showCheck(
    actor: Actor,
    state: WalkState,
    itemId: string,
    request: FastifyRequest,
    reply: FastifyReply,
    more: Refilled & { readonly photosFirst?: boolean },
  ): Promise<void> {
    const item = state.asked.find(({ id }) => id === itemId);
    if (item === undefined) {
      goTo(reply, `/crew/inspections/${state.row.id}`);
      return;
    }
    const page = (
      <CrewCheck
        id={state.row.id}
        visitId={state.row.visitId}
        walk={walkOf(state)}
        item={item}
        lang={languageOf(request)}
        now={this.clock.now().toString()}
        finished={state.row.finishedAt !== null}
        photos={await this.photos(actor, state.row.id)}
        partTitles={item.answer.type === 'count' ? await this.partTitles(actor, state) : {}}
        {...more}
      />
    );
    sendPage(reply, page, more.trouble?.status ?? 200);
  }

  /** The photos that count, in order of receipt. */
  async photos(actor: Actor, id: string): Promise<CrewPhoto[]> {
    const views = await this.evidence.page(actor, id, undefined, MOST_PHOTOS);
    return views
      .filter(({ row }) => row.withdrawnAt === null)
      .map(({ row }) => ({
        id: row.id,
        item: row.item,
        shows: row.shows,
        state: row.state,
        advice: (row.reading?.quality?.advice ?? []).map(({ says }) => says),
        ...(row.failure === null ? {} : { failure: row.failure }),
      }));
  }

  private async partTitles(actor: Actor, state: WalkState): Promise<Record<string, string>> {
    const visit = await this.visits.read(actor, state.row.visitId);
    const sku = visit.units.find(({ id }) => id === state.row.unitId)?.sku ?? '';
    const { model } = await this.catalogue.read(actor, sku);
    return Object.fromEntries(model.parts.map(({ number, title }) => [number, title]));
  }

  /** The look that would settle most, and whether damage was seen at all. Where nothing can be computed, the crew is not held up. */
  private async lookAhead(actor: Actor, state: WalkState, lang: 'en' | 'es') {
    try {
      const { nextChecks, findings } = await this.diagnosis.ofInspection(actor, state.row.id);
      const open = nextChecks.find(({ item }) => {
        const asked = state.asked.some(({ id }) => id === item);
        const value = answerOf(walkOf(state), item)?.value;
        return asked && (value === undefined || value === null);
      });
      const oneMore =
        open === undefined
          ? undefined
          : { item: open.item, says: say(open.says, lang), seconds: Math.round(open.effortSeconds) };
      return { oneMore, damaged: findings.length > 0 };
    } catch (error) {
      if (error instanceof Refused) return { oneMore: undefined, damaged: false };
      throw error;
    }
  }
}

/** The walk as the pages read it. */
export function walkOf(state: WalkState): Walk {
  const { asked, answers, owed, stops, located } = state;
  return { checklist: located.checklist, unit: located.unit, asked, answers, owed, stops };
}
