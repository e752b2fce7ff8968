import { randomUUID } from 'node:crypto';
import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor, Act } from '../access/access.contract.js';
import { demand } from '../access/access.service.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { Invalid, Refused } from '../platform/http/problems.js';
import { regionOf, UPRIGHT_PIPELINE, type MarkSelector } from './domain/mark-region.js';
import type { MarkedRegion, Sender } from './evidence.contract.js';
import { ExhibitMarkStore, type StoredMark } from './store/exhibit-mark.store.js';
import type { ExhibitRow } from './store/exhibit.entity.js';
import { ExhibitStore } from './store/exhibit.store.js';

/** What somebody wants to mark. */
export interface MarkWish {
  readonly selector: MarkSelector;
  readonly says?: string;
}

const MOST_MARKS = 50;

/** Regions that people mark in photos. The original and its renditions stay as they are. */
@Injectable()
export class MarksService {
  constructor(
    private readonly db: Database,
    private readonly exhibits: ExhibitStore,
    private readonly marks: ExhibitMarkStore,
    private readonly clock: Clock,
  ) {}

  /** Every mark of a photo, those that were taken back among them. @throws Refused not-found, not-allowed */
  list(actor: Actor, photoId: string): Promise<StoredMark[]> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const photo = await this.photo(tx, actor, photoId, 'exhibit.read');
      return this.marks.ofExhibits(tx, actor.tenant, [photo.id]);
    });
  }

  /** @throws Refused not-found (also while there is no picture to mark), not-allowed; Invalid for a region that is none */
  make(actor: Actor, photoId: string, wish: MarkWish): Promise<StoredMark> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const photo = await this.photo(tx, actor, photoId, 'exhibit.add');
      if (photo.state !== 'read' || photo.reading === null) {
        throw new Refused('not-found', 'There is no picture of this photo to mark, or not yet.');
      }
      const { width, height } = photo.reading;
      const region = regionOf(wish.selector, { width, height });
      if (!region.ok) throw new Invalid([{ pointer: '#/selector', detail: region.detail }]);
      const there = await this.marks.ofExhibits(tx, actor.tenant, [photo.id]);
      if (there.filter(({ withdrawal }) => !withdrawal).length >= MOST_MARKS) {
        const detail = `A photo takes at most ${MOST_MARKS} marks. Take one back first.`;
        throw new Invalid([{ pointer: '#/selector', detail }]);
      }
      const row = {
        id: randomUUID(),
        tenantId: actor.tenant,
        visitId: photo.visitId,
        exhibitId: photo.id,
        photoSha256: photo.sha256,
        width,
        height,
        pipeline: UPRIGHT_PIPELINE,
        polygon: region.polygon,
        says: wish.says ?? null,
        madeAt: this.now(),
        madeBy: senderOf(actor),
      };
      await this.marks.add(tx, row);
      return { row, withdrawal: undefined };
    });
  }

  /** Takes a mark back; it stays on record with who did so. Repeating changes nothing. */
  withdraw(actor: Actor, photoId: string, markId: string): Promise<StoredMark> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const photo = await this.photo(tx, actor, photoId, 'exhibit.add');
      const { row } = await this.marks.find(tx, actor.tenant, photo.id, markId);
      await this.marks.withdraw(tx, {
        markId: row.id,
        tenantId: row.tenantId,
        visitId: row.visitId,
        withdrawnAt: this.now(),
        withdrawnBy: senderOf(actor),
      });
      return this.marks.find(tx, actor.tenant, photo.id, markId);
    });
  }

  /** The marks of photos that stood at an instant, by photo, for a copy that must come out the same again. @param at RFC 3339 */
  async standingAt(
    tx: EntityManager,
    tenant: string,
    photoIds: readonly string[],
    at: string,
  ): Promise<ReadonlyMap<string, readonly MarkedRegion[]>> {
    const bound = Temporal.Instant.from(at);
    const by = (instant: string) => Temporal.Instant.compare(Temporal.Instant.from(instant), bound) <= 0;
    const standing = (await this.marks.ofExhibits(tx, tenant, photoIds)).filter(
      ({ row, withdrawal }) => by(row.madeAt) && !(withdrawal && by(withdrawal.withdrawnAt)),
    );
    const groups = Map.groupBy(standing, ({ row }) => row.exhibitId);
    return new Map(
      [...groups].map(([id, marks]) => [
        id,
        marks.map(({ row: { polygon, says } }) => ({ polygon, ...(says === null ? {} : { says }) })),
      ]),
    );
  }

  private async photo(tx: EntityManager, actor: Actor, id: string, act: Act): Promise<ExhibitRow> {
    const photo = await this.exhibits.find(tx, actor.tenant, id);
    demand(actor, act, { tenant: actor.tenant, visit: photo.visitId });
    return photo;
  }

  private now(): string {
    return this.clock.now().toString({ smallestUnit: 'millisecond' });
  }
}

function senderOf({ kind, id, name }: Actor): Sender {
  return { kind, id, name };
}
