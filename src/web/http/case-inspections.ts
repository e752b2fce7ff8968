import { Injectable } from '@nestjs/common';
import type { Actor } from '../../access/access.contract.js';
import { AccessService } from '../../access/access.service.js';
import type { EvidenceModel } from '../../diagnosis/diagnosis.contract.js';
import { EvidenceModelsService } from '../../diagnosis/evidence-models.service.js';
import { InspectionWalkService } from '../../inspections/inspection-walk.service.js';
import { InspectionsService } from '../../inspections/inspections.service.js';
import { Database } from '../../platform/db/database.js';
import { scopeOf } from '../../platform/http/caller.js';
import { Refused } from '../../platform/http/problems.js';
import type { CaseInspection } from '../case-data.js';
import { walkOf } from '../walk-of.js';

/** What the page of a case reads of inspections and documents. */
@Injectable()
export class CaseInspections {
  constructor(
    private readonly db: Database,
    private readonly walk: InspectionWalkService,
    private readonly inspections: InspectionsService,
    private readonly access: AccessService,
    private readonly models: EvidenceModelsService,
  ) {}

  async read(actor: Actor, id: string): Promise<CaseInspection> {
    const state = await this.walk.read(actor, id);
    const history = await this.db.inTenant(scopeOf(actor), (tx) => this.inspections.history(tx, actor.tenant, id));
    const { startedAt, startedBy, finishedAt, gapsReason, crewSize, visitId } = state.row;
    return {
      walk: walkOf(state),
      startedAt,
      startedBy: await this.nameOf(actor, visitId, startedBy),
      finishedAt,
      gapsReason,
      crewSize,
      answeredAt: Object.fromEntries(history.map(({ item, answeredAt }) => [item, answeredAt])),
    };
  }

  /** What observations are called, by their code; nothing where the model is gone. */
  async observationWords(
    actor: Actor,
    document: { readonly id: string; readonly version: number } | undefined,
  ): Promise<Record<string, string>> {
    if (document === undefined) return {};
    try {
      const row = await this.models.read(actor, { code: document.id, version: document.version });
      return Object.fromEntries((row.body as EvidenceModel).observations.map(({ id, says }) => [id, says]));
    } catch (error) {
      if (error instanceof Refused) return {};
      throw error;
    }
  }

  /** A crew goes by the name that stands on its link. */
  private async nameOf(actor: Actor, visitId: string, reference: string): Promise<string> {
    const [kind, id] = reference.split(':', 2);
    if (kind !== 'link') return 'a person with an account';
    const links = await this.access.visitLinks(actor, visitId);
    return links.find((link) => link.id === id)?.crewName ?? 'the crew';
  }
}
