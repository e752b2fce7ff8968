import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { InspectionsService } from '../inspections/inspections.service.js';
import type { Config } from '../platform/config/config.js';
import { InjectConfig } from '../platform/config/inject-config.js';
import type { Circumstances, VisitPlan } from './domain/doubts.js';
import type { ExhibitRow } from './store/exhibit.entity.js';
import { ExhibitStore } from './store/exhibit.store.js';

/** Gathers what a photo is compared with: its visit, its sender, other visits, and the limits of this house. */
@Injectable()
export class PhotoCircumstances {
  constructor(
    private readonly inspections: InspectionsService,
    private readonly exhibits: ExhibitStore,
    @InjectConfig() private readonly config: Config,
  ) {}

  /** @throws Refused not-found when the visit is gone */
  async of(tx: EntityManager, row: ExhibitRow): Promise<Circumstances> {
    const { receivedAt, mediaType, receivedBy } = row;
    const { declaredType, takenAt } = receivedBy;
    return {
      receivedAt,
      mediaType,
      ...(declaredType === undefined ? {} : { declaredType }),
      ...(takenAt === undefined ? {} : { takenAt }),
      seenOn: await this.exhibits.otherVisits(tx, row),
      visit: await this.planOf(tx, row),
      limits: this.config.photos.doubts,
    };
  }

  private async planOf(tx: EntityManager, { tenantId, visitId }: ExhibitRow): Promise<VisitPlan> {
    const { windowFrom, windowTo, deliveredAt, address } = await this.inspections.visit(tx, tenantId, visitId);
    const { latitude, longitude } = address;
    return {
      from: windowFrom,
      to: windowTo,
      ...(deliveredAt === null ? {} : { deliveredAt }),
      ...(latitude === undefined || longitude === undefined ? {} : { place: { latitude, longitude } }),
    };
  }
}
