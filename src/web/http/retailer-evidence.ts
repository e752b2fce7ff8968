import { Injectable } from '@nestjs/common';
import type { Actor } from '../../access/access.contract.js';
import { EvidenceService } from '../../evidence/evidence.service.js';
import { itemsOf } from '../../inspections/inspections.contract.js';
import { InspectionsService } from '../../inspections/inspections.service.js';
import { Database } from '../../platform/db/database.js';
import { scopeOf } from '../../platform/http/caller.js';

/** What a retailer sees of the inspection that a claim of its own rests on. */
@Injectable()
export class RetailerEvidence {
  constructor(
    private readonly inspections: InspectionsService,
    private readonly evidence: EvidenceService,
    private readonly db: Database,
  ) {}

  /** The photos that count, with what each is about. @param inspectionId uuid */
  async photos(
    actor: Actor,
    inspectionId: string,
  ): Promise<readonly { readonly id: string; readonly sha256: string; readonly about: string }[]> {
    const photos = await this.db.inTenant(scopeOf(actor), (tx) =>
      this.evidence.forClaim(tx, actor.tenant, inspectionId),
    );
    return photos.map(({ id, shows, sha256 }) => ({
      id,
      sha256,
      about: shows === 'extra' ? 'Photo or scan that was added' : `Photo of the inspection (${shows})`,
    }));
  }

  /**
   * The questions that ask for photos, as id and words. The retailer reads them only to say what a file is about; the answers stay with
   * the desk. @param inspectionId uuid
   */
  async fileItems(actor: Actor, inspectionId: string): Promise<readonly (readonly [item: string, says: string])[]> {
    const { checklist } = await this.db.inTenant(scopeOf(actor), (tx) =>
      this.inspections.locate(tx, actor, inspectionId),
    );
    return itemsOf(checklist)
      .filter(({ photos }) => photos !== undefined && photos.length > 0)
      .map(({ id, ask }) => [id, ask.en]);
  }
}
