import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { InspectionsService } from '../inspections/inspections.service.js';
import type { Config } from '../platform/config/config.js';
import { InjectConfig } from '../platform/config/inject-config.js';
import type { Circumstances, VisitPlan } from './domain/doubts.js';
import { isLabelShot } from './domain/labels.js';
import type { ExhibitRow } from './store/exhibit.entity.js';
import { ExhibitStore } from './store/exhibit.store.js';

/** A rendition of the other photo of a pair, and which of the two it is. */
export interface FellowPhoto {
  readonly sha256: string;
  readonly is: 'wide' | 'close';
}

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
      ...(await this.unitOf(tx, row)),
      limits: this.config.photos.doubts,
    };
  }

  /**
   * The 256-pixel rendition of the photo that belongs with this one: of a pair of wide and close of one item, the newest of the other
   * kind that counts. Undefined for photos of no pair, and while the other is not there.
   */
  async fellowOf(tx: EntityManager, row: ExhibitRow): Promise<FellowPhoto | undefined> {
    if (row.shows !== 'wide' && row.shows !== 'close') return undefined;
    const is = row.shows === 'wide' ? 'close' : 'wide';
    const [found] = await tx.query<{ sha256: string }[]>(
      `select r.sha256 from exhibit e join exhibit_rendition r on r.exhibit_id = e.id and r.size = 256
       where e.tenant_id = $1 and e.inspection_id = $2 and e.item = $3 and e.shows = $4 and e.withdrawn_at is null
       order by e.received_at desc, e.id desc limit 1`,
      [row.tenantId, row.inspectionId, row.item, is],
    );
    return found && { sha256: found.sha256, is };
  }

  /** The unit that the inspection is about and the visit's other ones, for what labels say. */
  private async unitOf(tx: EntityManager, row: ExhibitRow): Promise<Pick<Circumstances, 'unit'>> {
    const units = await tx.query<{ serial: string; sku: string; own: boolean }[]>(
      `select u.serial, m.sku, u.id = i.unit_id own from inspection i
       join visit_unit u on u.tenant_id = i.tenant_id and u.visit_id = i.visit_id
       join model m on m.tenant_id = u.tenant_id and m.id = u.model_id
       where i.tenant_id = $1 and i.id = $2 order by u.serial`,
      [row.tenantId, row.inspectionId],
    );
    const own = units.find((unit) => unit.own);
    if (!own) return {};
    const others = units.filter((unit) => !unit.own).map(({ serial }) => serial);
    return { unit: { serial: own.serial, sku: own.sku, others, labelSought: isLabelShot(row) } };
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
