import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { actorRef, may, type Actor, type Thing } from '../access/access.contract.js';
import { demand } from '../access/access.service.js';
import { InspectionsService } from '../inspections/inspections.service.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { Refused } from '../platform/http/problems.js';
import type { PhotoOfClaim } from './evidence.contract.js';
import { PicturesService, type Sendable } from './pictures.service.js';
import type { ExhibitRenditionRow, ExhibitRow } from './store/exhibit.entity.js';
import { ExhibitStore, type ExhibitPosition } from './store/exhibit.store.js';
import { PhotoPairStore, type StoredPair } from './store/photo-pair.store.js';

/** Pairs that a page of photos shows at most, nearest first. */
const MOST_PAIRS = 200;

/** An exhibit with the sizes of its renditions. */
export interface ExhibitView {
  readonly row: ExhibitRow;
  readonly renditions: readonly ExhibitRenditionRow[];
  /** Pairs with photos of other visits, for those who may compare. */
  readonly pairs?: readonly StoredPair[];
}

/** Shows exhibits to those who may see them, and marks those that were withdrawn. */
@Injectable()
export class EvidenceService {
  constructor(
    private readonly db: Database,
    private readonly inspections: InspectionsService,
    private readonly exhibits: ExhibitStore,
    private readonly clock: Clock,
    private readonly pictures: PicturesService,
    private readonly pairs: PhotoPairStore,
  ) {}

  /** The photos of an inspection that count, for the claim file. */
  async forClaim(tx: EntityManager, tenant: string, inspectionId: string): Promise<PhotoOfClaim[]> {
    const rows = await this.exhibits.counting(tx, tenant, inspectionId);
    return rows.map(({ id, item, shows, sha256, mediaType }) => ({
      id,
      item,
      shows,
      file: `photos/${id}.${endingOf(mediaType)}`,
      sha256,
    }));
  }

  /** How many photos of an inspection that count came after an instant. @param since RFC 3339 */
  async arrivedAfter(tx: EntityManager, tenant: string, inspectionId: string, since: string): Promise<number> {
    const rows = await this.exhibits.counting(tx, tenant, inspectionId);
    const bound = Temporal.Instant.from(since);
    return rows.filter(({ receivedAt }) => Temporal.Instant.compare(Temporal.Instant.from(receivedAt), bound) > 0)
      .length;
  }

  /** A page of the exhibits of an inspection, at most `limit`, in order of receipt. */
  async page(
    actor: Actor,
    inspectionId: string,
    after: ExhibitPosition | undefined,
    limit: number,
  ): Promise<readonly ExhibitView[]> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const { visitId } = await this.inspections.placeOf(tx, actor, inspectionId);
      demand(actor, 'exhibit.read', thing(actor, { visitId }));
      const rows = await this.exhibits.page(tx, actor.tenant, inspectionId, after, limit);
      return this.views(tx, actor, rows);
    });
  }

  /** @throws Refused not-found, not-allowed */
  async get(actor: Actor, id: string): Promise<ExhibitView> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.exhibits.find(tx, actor.tenant, id);
      demand(actor, 'exhibit.read', thing(actor, row));
      const [view] = await this.views(tx, actor, [row]);
      if (!view) throw new Error('a row without a view');
      return view;
    });
  }

  /**
   * One rendition. Besides the desk and the crew of the visit, a retailer sees those of its own claims. Withdrawn photos are for
   * analysts only.
   * @throws Refused not-found with the reason when there is no such rendition (yet)
   */
  async rendition(actor: Actor, id: string, size: number): Promise<Sendable> {
    const { row, made } = await this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.exhibits.find(tx, actor.tenant, id);
      await this.demandPicture(tx, actor, row);
      const renditions = await this.exhibits.renditions(tx, actor.tenant, [id]);
      const found = renditions.find((each) => each.size === size);
      if (!found) throw new Refused('not-found', whyNoPicture(row));
      return { row, made: found };
    });
    return this.pictures.rendition(row, made);
  }

  /** The original bytes, which hold the customer's precise place: for analysts, and every look leaves a line in the log. */
  async original(actor: Actor, id: string): Promise<Sendable & { readonly fileName: string }> {
    const row = await this.db.inTenant(scopeOf(actor), async (tx) => {
      const found = await this.exhibits.find(tx, actor.tenant, id);
      demand(actor, 'exhibit.locate', thing(actor, found));
      return found;
    });
    return { ...this.pictures.original(row, actorRef(actor)), fileName: `photo-${id}.${endingOf(row.mediaType)}` };
  }

  /** Takes a photo out of the evidence. The original stays, and so does the record of who withdrew it. Repeating changes nothing. */
  async withdraw(actor: Actor, id: string): Promise<ExhibitView> {
    await this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.exhibits.find(tx, actor.tenant, id);
      demand(actor, 'exhibit.add', thing(actor, row));
      await this.exhibits.withdraw(
        tx,
        row,
        actorRef(actor),
        this.clock.now().toString({ smallestUnit: 'millisecond' }),
      );
    });
    return this.get(actor, id);
  }

  private async demandPicture(tx: EntityManager, actor: Actor, row: ExhibitRow): Promise<void> {
    if (row.withdrawnAt !== null && !may(actor, 'exhibit.locate')) {
      throw new Refused('not-found', 'This photo was withdrawn.');
    }
    if (may(actor, 'exhibit.read', { tenant: row.tenantId, visit: row.visitId })) return;
    // Row-level security has already hidden the visits of other retailers.
    demand(actor, 'claim.read', thing(actor, row));
    const claimed = actor.retailer !== undefined && (await this.exhibits.hasClaim(tx, actor.tenant, row.inspectionId));
    if (!claimed) throw new Refused('not-found', 'There is no photo with this id.');
  }

  private async views(tx: EntityManager, actor: Actor, rows: readonly ExhibitRow[]): Promise<readonly ExhibitView[]> {
    const ids = rows.map(({ id }) => id);
    const renditions = await this.exhibits.renditions(tx, actor.tenant, ids);
    const pairs = may(actor, 'exhibit.compare') ? await this.pairs.ofPhotos(tx, actor.tenant, ids, MOST_PAIRS) : [];
    return rows.map((row) => ({
      row,
      renditions: renditions.filter(({ exhibitId }) => exhibitId === row.id),
      pairs: pairs.filter(({ later, earlier }) => later.id === row.id || earlier.id === row.id),
    }));
  }
}

/** What the rules of access want to know of an exhibit. */
function thing(actor: Actor, { visitId }: { readonly visitId: string }): Thing {
  return { tenant: actor.tenant, visit: visitId };
}

function whyNoPicture({ state, failure }: ExhibitRow): string {
  if (state === 'pending') return 'The pictures of this photo are still being made. Ask again in a few seconds.';
  return failure ?? 'There is no rendition of that size. Sizes are 256, 1024 and 2048.';
}

/** 'image/jpeg' → 'jpg'. */
function endingOf(mediaType: string): string {
  return mediaType === 'image/jpeg' ? 'jpg' : mediaType.replace('image/', '');
}
