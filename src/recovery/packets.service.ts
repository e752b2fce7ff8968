import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import { CatalogueService } from '../catalogue/catalogue.service.js';
import { decidedCost } from '../claims/claims.contract.js';
import { InspectionsService } from '../inspections/inspections.service.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { packetPdf } from './packet/packet-pdf.js';
import { PacketPhotos } from './packet-photos.js';
import { RecoveryFacts } from './recovery-facts.js';
import { packetContent, type PacketContent, type RecoveryEvent, type RecoveryEventKind } from './recovery.contract.js';
import { RecoveryStore, type RecoveryRow } from './store/recovery.store.js';

/** Makes the packets of recoveries. A packet is as of the recovery's last change, so that it comes out the same until the next. */
@Injectable()
export class PacketsService {
  constructor(
    private readonly db: Database,
    private readonly store: RecoveryStore,
    private readonly facts: RecoveryFacts,
    private readonly catalogue: CatalogueService,
    private readonly inspections: InspectionsService,
    private readonly photos: PacketPhotos,
  ) {}

  /** The packet as data. @throws Refused not-found, recovery-state-forbids */
  content(actor: Actor, id: string): Promise<PacketContent> {
    return this.db.inTenant(scopeOf(actor), async (tx) =>
      this.contentOf(tx, await this.store.find(tx, actor.tenant, id)),
    );
  }

  /** The packet as a PDF. Photos whose copies are not made yet are named with the reason. */
  async pdf(actor: Actor, id: string): Promise<{ readonly bytes: Buffer; readonly content: PacketContent }> {
    const content = await this.content(actor, id);
    return { bytes: await packetPdf(content, await this.photos.of(actor, content)), content };
  }

  private async contentOf(tx: EntityManager, row: RecoveryRow): Promise<PacketContent> {
    const { claim, completeness, clocks } = await this.facts.judged(tx, row, row.updatedAt);
    const { facts, assessment } = claim;
    return packetContent({
      reference: referenceOf(row),
      madeAt: row.updatedAt,
      claimant: await this.store.claimant(tx, row.tenantId),
      partyName: row.partyName,
      demand: row.demand,
      claim: facts,
      assessment,
      costLines: decidedCost(assessment, claim.decision).costLines,
      clocks,
      checklist: await this.inspections.checklist(tx, row.tenantId, facts.documents.checklist),
      model: await this.catalogue.modelBySku(tx, row.tenantId, facts.unit.sku),
      completeness,
      shipmentReference: row.particulars.shipmentReference,
      theirReference: row.theirReference ?? undefined,
      papers: row.particulars.papers ?? [],
      later: (await this.store.events(tx, row.tenantId, row.id)).flatMap(spoken),
    });
  }
}

/** Number under which a demand goes out: the claim's, and the party. */
export function referenceOf(row: Pick<RecoveryRow, 'claimNumber' | 'party' | 'id'>): string {
  return `${row.claimNumber ?? row.id.slice(0, 8)} ${row.party}`;
}

/** What the other side may read of a recovery's history: nothing that was weighed inside the house. */
function spoken({ at, kind }: RecoveryEvent): { readonly at: string; readonly says: string }[] {
  const says = SPOKEN[kind];
  return says === undefined ? [] : [{ at, says }];
}

const SPOKEN: Readonly<Partial<Record<RecoveryEventKind, string>>> = {
  'demand-sent': 'This claim was sent.',
  'demand-acknowledged': 'This claim was acknowledged.',
  'offer-made': 'An offer was made.',
  'payment-received': 'A payment arrived.',
  'salvage-credited': 'Salvage was credited.',
  'demand-declined': 'This claim was declined.',
};
