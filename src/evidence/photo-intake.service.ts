import type { Readable } from 'node:stream';
import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import { demand } from '../access/access.service.js';
import { itemsOf, type Checklist } from '../inspections/inspections.contract.js';
import { InspectionsService } from '../inspections/inspections.service.js';
import type { Fault } from '../kernel/outcome.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { Invalid, Refused } from '../platform/http/problems.js';
import { Jobs } from '../platform/jobs/jobs.js';
import { declaredSize } from './domain/declared-size.js';
import { SNIFF_BYTES, sniffMediaType, type PhotoMediaType } from './domain/media-type.js';
import { isHeic, PHOTO_SENTENCES, tooManyPixels } from './domain/photo-limits.js';
import { READ_PHOTO } from './evidence.contract.js';
import type { ExhibitRow } from './store/exhibit.entity.js';
import { ExhibitStore } from './store/exhibit.store.js';
import type { Arrived } from './store/original-store.js';
import { PhotoFolders } from './store/photo-folders.js';

/** A photo on its way in. */
export interface ArrivingPhoto {
  /** uuid chosen by the sender */
  readonly id: string;
  readonly inspectionId: string;
  /** Checklist item, and the photo demand of it that this answers. */
  readonly item: string;
  readonly shows: string;
  /** Lower-case hex that the sender states; absent for forms filled in by hand. */
  readonly sha256?: string;
  readonly fileName?: string;
  /** Content type that the sender claims; the bytes decide. */
  readonly declaredType?: string;
  /** When the sender's device says that it was taken: RFC 3339 with the device's offset. */
  readonly takenAt?: string;
}

/** `new`: taken in now. `known`: the same bytes were there already, under the row's id. */
export interface Intake {
  readonly row: ExhibitRow;
  readonly found: 'new' | 'known';
}

interface Place {
  readonly visitId: string;
  readonly checklist: Checklist;
}

/** Takes photos in: cheap checks and the digest now, decoding later in a job. */
@Injectable()
export class PhotoIntakeService {
  constructor(
    private readonly db: Database,
    private readonly inspections: InspectionsService,
    private readonly exhibits: ExhibitStore,
    private readonly jobs: Jobs,
    private readonly clock: Clock,
    private readonly folders: PhotoFolders,
  ) {}

  /**
   * Keeps one photo. The same id with the same bytes gives the stored receipt, however often it is sent; so do the same bytes of the
   * same inspection under another id. A finished inspection still takes photos: a phone may come back into coverage hours later.
   * @param content the bytes; read to the end or destroyed
   * @throws Refused not-found, not-allowed, photo-id-taken, photo-empty, photo-digest-mismatch, photo-not-an-image, photo-damaged,
   * photo-too-many-pixels, photo-too-large, photo-quota-reached, unavailable; Invalid for an item or demand that the checklist does not have
   */
  async keep(actor: Actor, photo: ArrivingPhoto, content: Readable): Promise<Intake> {
    try {
      const place = await this.db.inTenant(scopeOf(actor), (tx) => this.admit(tx, actor, photo, 1));
      let mediaType: PhotoMediaType | undefined;
      const kept = await this.folders.takeIn(content, async (arrived) => {
        mediaType = await accepted(arrived, photo.sha256);
      });
      if (mediaType === undefined) throw new Error('a photo was kept without having been judged');
      const row = this.rowFor(actor, photo, place.visitId, { ...kept, mediaType });
      return await this.db.inTenant(scopeOf(actor), (tx) => this.enter(tx, row));
    } catch (error) {
      // What the sender still has under way is not wanted any more.
      content.destroy();
      throw refusalFor(error);
    }
  }

  /** The stored receipt of a photo that was taken in. @throws Refused not-found */
  async known(actor: Actor, id: string): Promise<Intake> {
    const row = await this.db.inTenant(scopeOf(actor), (tx) => this.exhibits.find(tx, actor.tenant, id));
    return { row, found: 'known' };
  }

  /**
   * Whether a photo would be taken, before its bytes are there. @param bytes as many as are known to come
   * @throws Refused and Invalid as `keep`
   */
  async admit(tx: EntityManager, actor: Actor, photo: ArrivingPhoto, bytes: number): Promise<Place> {
    const place: Place = await this.inspections.locate(tx, actor, photo.inspectionId);
    await this.demandHand(tx, actor, photo.inspectionId, place.visitId);
    const faults = faultsOf(photo, place.checklist);
    if (faults.length > 0) throw new Invalid(faults);
    const known = await this.exhibits.known(tx, actor.tenant, photo.id);
    const other =
      known && (known.inspectionId !== photo.inspectionId || (photo.sha256 ?? known.sha256) !== known.sha256);
    if (other) throw idTaken();
    if (!known) await this.exhibits.demandRoom(tx, actor.tenant, photo, bytes);
    return place;
  }

  /** A retailer adds to what it has a claim on; row-level security has hidden the visits of others. */
  private async demandHand(tx: EntityManager, actor: Actor, inspectionId: string, visit: string): Promise<void> {
    const { tenant, retailer } = actor;
    if (retailer === undefined) return demand(actor, 'exhibit.add', { tenant, visit });
    demand(actor, 'exhibit.supply', { tenant, retailer, visit });
    if (await this.exhibits.hasClaim(tx, tenant, inspectionId)) return;
    throw new Refused('not-found', 'There is no filed claim of yours that a file could be added to.');
  }

  private async enter(tx: EntityManager, row: ExhibitRow): Promise<Intake> {
    if (await this.exhibits.add(tx, row)) {
      await this.jobs.enqueue(tx, READ_PHOTO, { tenant: row.tenantId, exhibit: row.id });
      return { row, found: 'new' };
    }
    const byId = await this.exhibits.known(tx, row.tenantId, row.id);
    if (byId && (byId.sha256 !== row.sha256 || byId.inspectionId !== row.inspectionId)) throw idTaken();
    const known = byId ?? (await this.exhibits.ofSameBytes(tx, row));
    // An id that collides with a row this sender cannot see.
    if (!known) throw idTaken();
    return { row: known, found: 'known' };
  }

  private rowFor(
    actor: Actor,
    photo: ArrivingPhoto,
    visitId: string,
    kept: { readonly sha256: string; readonly bytes: number; readonly mediaType: PhotoMediaType },
  ): ExhibitRow {
    return {
      id: photo.id,
      tenantId: actor.tenant,
      visitId,
      inspectionId: photo.inspectionId,
      item: photo.item,
      shows: photo.shows,
      ...kept,
      fileName: photo.fileName ?? null,
      // Milliseconds are what the database gives back; a cursor must compare equal to what it was made of.
      receivedAt: this.clock.now().toString({ smallestUnit: 'millisecond' }),
      receivedBy: {
        kind: actor.kind,
        id: actor.id,
        name: actor.name,
        ...(photo.declaredType ? { declaredType: photo.declaredType.slice(0, 100) } : {}),
        ...(photo.takenAt ? { takenAt: photo.takenAt } : {}),
      },
      reading: null,
      state: 'pending',
      failure: null,
      withdrawnAt: null,
      withdrawnBy: null,
    };
  }
}

/** The checks that need no decoder, in the order in which their sentences help most. */
async function accepted(arrived: Arrived, stated: string | undefined): Promise<PhotoMediaType> {
  if (arrived.bytes === 0) throw new Refused('photo-empty', 'The photo is empty (zero bytes). Send it again.');
  if (stated !== undefined && stated !== arrived.sha256) {
    throw new Refused(
      'photo-digest-mismatch',
      'The bytes that arrived are not those of the digest. Send the photo again.',
      {
        received: { sha256: arrived.sha256, bytes: arrived.bytes },
      },
    );
  }
  const sniffed = sniffMediaType(await arrived.read(0, SNIFF_BYTES));
  if (!sniffed.ok) throw new Refused('photo-not-an-image', sniffed.detail);
  const { mediaType } = sniffed;
  // HEIC says its size deep inside its boxes; the reader, which can be killed, looks there.
  if (isHeic(mediaType)) return mediaType;
  const size = await declaredSize(arrived, mediaType as Parameters<typeof declaredSize>[1]);
  if (!size) throw new Refused('photo-damaged', PHOTO_SENTENCES.damaged);
  const tooMany = tooManyPixels(size);
  if (tooMany !== undefined) throw new Refused('photo-too-many-pixels', tooMany);
  return mediaType;
}

/** The item must be one of the checklist, and what the photo shows one of the item's demands, when it has any. */
function faultsOf(photo: Pick<ArrivingPhoto, 'item' | 'shows'>, checklist: Checklist): Fault[] {
  const item = itemsOf(checklist).find(({ id }) => id === photo.item);
  if (!item) return [{ pointer: '#/item', detail: `The checklist has no item "${photo.item}".` }];
  const demands = (item.photos ?? []).map(({ id }) => id);
  if (demands.length === 0 || photo.shows === EXTRA || demands.includes(photo.shows)) return [];
  return [{ pointer: '#/shows', detail: `The item asks for ${demands.join(', ')}; use "${EXTRA}" for anything more.` }];
}

/** What a photo shows that nobody asked for. */
const EXTRA = 'extra';

function idTaken(): Refused {
  return new Refused(
    'photo-id-taken',
    'Another photo was sent under this id. Give this one a new id and send it again.',
  );
}

function refusalFor(error: unknown): unknown {
  if (error instanceof Refused) return error;
  if (isCutOff(error)) {
    return new Refused(
      'photo-digest-mismatch',
      'The photo did not arrive whole. Send it again; nothing of it was kept.',
    );
  }
  return error;
}

/** A sender that went away in the middle is no fault of ours. */
function isCutOff(error: unknown): boolean {
  if (!(error instanceof Error)) return false;
  const code = 'code' in error ? error.code : undefined;
  return code === 'ECONNRESET' || code === 'ERR_STREAM_PREMATURE_CLOSE' || error.message === 'the sender went away';
}
