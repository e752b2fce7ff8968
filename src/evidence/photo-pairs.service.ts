import { Injectable } from '@nestjs/common';
import type { Actor } from '../access/access.contract.js';
import { demand } from '../access/access.service.js';
import { InspectionsService } from '../inspections/inspections.service.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { ComparisonStore, type Comparison } from './store/comparison.store.js';
import { ExhibitStore } from './store/exhibit.store.js';
import { PhotoPairStore, type PairOpinion, type StoredPair } from './store/photo-pair.store.js';

/** Pairs that a list holds at most, nearest first. */
const MOST_PAIRS = 200;

/** The pairs of one photo, and what it was compared with; undefined while it waits to be. */
export interface PairsOfPhoto {
  readonly comparison: Comparison | undefined;
  readonly pairs: readonly StoredPair[];
}

/** Shows analysts photos that look alike beside each other, and keeps what they say to them. */
@Injectable()
export class PhotoPairsService {
  constructor(
    private readonly db: Database,
    private readonly inspections: InspectionsService,
    private readonly exhibits: ExhibitStore,
    private readonly comparisons: ComparisonStore,
    private readonly pairs: PhotoPairStore,
    private readonly clock: Clock,
  ) {}

  /** @throws Refused not-found, not-allowed */
  ofPhoto(actor: Actor, photoId: string): Promise<PairsOfPhoto> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const photo = await this.exhibits.find(tx, actor.tenant, photoId);
      demand(actor, 'exhibit.compare', { tenant: actor.tenant, visit: photo.visitId });
      return {
        comparison: await this.comparisons.find(tx, actor.tenant, photo.id),
        pairs: await this.pairs.ofPhotos(tx, actor.tenant, [photo.id], MOST_PAIRS),
      };
    });
  }

  /** Those of every photo of an inspection, for the claim that rests on it. @throws Refused not-found, not-allowed */
  ofInspection(actor: Actor, inspectionId: string): Promise<readonly StoredPair[]> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const { visitId } = await this.inspections.placeOf(tx, actor, inspectionId);
      demand(actor, 'exhibit.compare', { tenant: actor.tenant, visit: visitId });
      const photos = await this.exhibits.counting(tx, actor.tenant, inspectionId);
      const ids = photos.map(({ id }) => id);
      return this.pairs.ofPhotos(tx, actor.tenant, ids, MOST_PAIRS);
    });
  }

  /** @throws Refused not-found, not-allowed */
  get(actor: Actor, id: string): Promise<StoredPair> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const pair = await this.pairs.find(tx, actor.tenant, id);
      demand(actor, 'exhibit.compare', { tenant: actor.tenant, visit: pair.later.visitId });
      return pair;
    });
  }

  /** Adds what an analyst says to a pair. Earlier opinions stay; nothing follows from any of them by itself. */
  async say(actor: Actor, id: string, said: Pick<PairOpinion, 'opinion' | 'words'>): Promise<StoredPair> {
    await this.db.inTenant(scopeOf(actor), async (tx) => {
      const pair = await this.pairs.find(tx, actor.tenant, id);
      demand(actor, 'exhibit.compare', { tenant: actor.tenant, visit: pair.later.visitId });
      const { kind, id: who, name } = actor;
      const givenAt = this.clock.now().toString({ smallestUnit: 'millisecond' });
      await this.pairs.addOpinion(tx, actor.tenant, pair, { ...said, givenAt, givenBy: { kind, id: who, name } });
    });
    return this.get(actor, id);
  }
}
