import { Injectable } from '@nestjs/common';
import type { Actor } from '../access/access.contract.js';
import type { MarkedRegion } from '../evidence/evidence.contract.js';
import { EvidenceService } from '../evidence/evidence.service.js';
import { MarksService } from '../evidence/marks.service.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { Refused } from '../platform/http/problems.js';
import { packetPicture, type PacketPicture } from './packet/packet-pictures.js';
import type { PacketContent } from './recovery.contract.js';

/** Size of the renditions that go into a packet, longest side in pixels. */
const PICTURE_SIZE = 1024;

/** Makes the copies of photos that go into packets, with the marks of their regions drawn in. */
@Injectable()
export class PacketPhotos {
  constructor(
    private readonly db: Database,
    private readonly evidence: EvidenceService,
    private readonly marks: MarksService,
  ) {}

  /**
   * Copies by the id of the photo. Marks are as of the packet's own instant, so that it comes out the same whatever is marked later. A
   * photo without a rendition says so.
   */
  async of(actor: Actor, { photos, madeAt }: PacketContent): Promise<ReadonlyMap<string, PacketPicture>> {
    const ids = photos.map(({ id }) => id);
    const marks = await this.db.inTenant(scopeOf(actor), (tx) => this.marks.standingAt(tx, actor.tenant, ids, madeAt));
    const pictures = new Map<string, PacketPicture>();
    for (const id of ids) pictures.set(id, await this.picture(actor, id, marks.get(id) ?? []));
    return pictures;
  }

  private async picture(actor: Actor, id: string, marks: readonly MarkedRegion[]): Promise<PacketPicture> {
    try {
      const rendition = await this.evidence.rendition(actor, id, PICTURE_SIZE);
      const chunks: Buffer[] = [];
      for await (const chunk of rendition.open()) chunks.push(chunk as Buffer);
      return await packetPicture(Buffer.concat(chunks), marks);
    } catch (error) {
      if (error instanceof Refused) return { ok: false, because: 'no copy of it has been made' };
      throw error;
    }
  }
}
