import { Injectable } from '@nestjs/common';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import type { Neighbour } from './domain/fingerprint-index.js';
import { TURNS } from './domain/fingerprint.js';
import type { KnownOfPair } from './domain/likely-copies.js';
import { REUSE_LIMITS } from './domain/reuse-bands.js';
import { FingerprintSearchService } from './fingerprint-search.service.js';
import { ReuseProcess } from './imaging/reuse-process.js';
import { PhotoFeaturesService } from './photo-features.service.js';
import { ComparisonStore, type Comparison } from './store/comparison.store.js';
import type { ExhibitRow } from './store/exhibit.entity.js';

/** Photos that one photo is compared with feature by feature: a few seconds' work. */
const MOST_CLOSELY = 1000;
/** Of those, the nearest by fingerprint; the rest are of the same unit, address, crew or retailer. */
const MOST_NEIGHBOURS = 200;
/** Fingerprints near enough to be looked at; pictures that thousands share (a maker's leaflet) are cut off here. */
const MOST_FINDS = 2000;
/** Photos of one scope are compared as far back as this. */
const MONTHS_BACK = 12;

/** What comparing one photo has shown. */
export interface Likenesses {
  readonly known: readonly KnownOfPair[];
  readonly comparison: Comparison;
}

type Closely = Pick<Comparison, 'closely' | 'leftOff' | 'untested'> & { readonly known: readonly KnownOfPair[] };

/** Compares one photo with those of other visits: bytes, fingerprints, and details where a copy is most likely. */
@Injectable()
export class PhotoLikenessService {
  constructor(
    private readonly db: Database,
    private readonly comparisons: ComparisonStore,
    private readonly search: FingerprintSearchService,
    private readonly process: ReuseProcess,
    private readonly features: PhotoFeaturesService,
    private readonly clock: Clock,
  ) {}

  /** @throws Error in an outage */
  async of(row: ExhibitRow): Promise<Likenesses> {
    const own = await this.features.take(row);
    const { known, compared, usable } = await this.byFingerprint(row);
    const { known: all, ...counts } = own ? await this.closely(row, own, known) : notClosely(known);
    const says = shortfall(usable, own !== undefined);
    const comparedAt = this.clock.now().toString({ smallestUnit: 'millisecond' });
    return { known: all, comparison: { comparedAt, fingerprints: compared, ...counts, says } };
  }

  /** What is older is compared by fingerprint alone. @returns RFC 3339 */
  closelySince(): string {
    return this.clock.now().toZonedDateTimeISO('UTC').subtract({ months: MONTHS_BACK }).toInstant().toString();
  }

  private async byFingerprint(
    row: ExhibitRow,
  ): Promise<{ readonly known: KnownOfPair[]; readonly compared: number; readonly usable: boolean }> {
    const { tenantId: tenant } = row;
    const wanted = { limit: REUSE_LIMITS.lookCloser, most: MOST_FINDS };
    const { usable, neighbours, compared } = await this.search.nearPhoto(tenant, row.id, wanted);
    const numbers = neighbours.map(({ no }) => no);
    const { sameBytes, found } = await this.db.inTenant({ tenant }, async (tx) => ({
      sameBytes: await this.comparisons.ofSameBytes(tx, row, MOST_NEIGHBOURS),
      found: await this.comparisons.behind(tx, row, numbers),
    }));
    const known = new Map<string, KnownOfPair>(
      sameBytes.map((candidate) => [candidate.id, { candidate, sameBytes: true }]),
    );
    const behind = new Map(found.map((each) => [each.no, each]));
    for (const neighbour of neighbours) {
      const candidate = behind.get(neighbour.no);
      // Nearest first: what is there already is at least as near.
      if (!candidate || known.get(candidate.id)?.near !== undefined) continue;
      known.set(candidate.id, { ...known.get(candidate.id), candidate, near: nearness(neighbour, candidate.part) });
    }
    return { known: [...known.values()], compared, usable };
  }

  /** Compares features with the nearest by fingerprint and with photos of the same scope. */
  private async closely(row: ExhibitRow, own: Uint8Array, known: readonly KnownOfPair[]): Promise<Closely> {
    const { tenantId: tenant } = row;
    const near = known.slice(0, MOST_NEIGHBOURS).map(({ candidate }) => candidate);
    const { all, ids, kept } = await this.db.inTenant({ tenant }, async (tx) => {
      const scoped = await this.comparisons.scoped(tx, row, this.closelySince(), MOST_CLOSELY);
      const all = new Map([...near, ...scoped].map((candidate) => [candidate.id, candidate]));
      const ids = [...all.keys()].slice(0, MOST_CLOSELY);
      return { all, ids, kept: await this.comparisons.features(tx, tenant, ids) };
    });
    const others = kept.map(({ content }) => Uint8Array.from(content));
    const matches = await this.process.ask('match', { one: own, others });
    const pairs = new Map(known.map((each) => [each.candidate.id, each]));
    kept.forEach(({ id }, at) => {
      const candidate = all.get(id);
      const features = matches[at];
      if (candidate && features) pairs.set(id, { ...pairs.get(id), candidate, features });
    });
    return {
      known: [...pairs.values()],
      closely: kept.length,
      leftOff: all.size - ids.length,
      untested: ids.length - kept.length,
    };
  }
}

function notClosely(known: readonly KnownOfPair[]): Closely {
  return { known, closely: 0, leftOff: 0, untested: 0 };
}

function nearness({ distance, query }: Neighbour, part: 'whole' | 'inside'): NonNullable<KnownOfPair['near']> {
  const turn = TURNS[query];
  return { distance, turn: turn ?? 'upright', inside: turn === undefined || part === 'inside' };
}

function shortfall(usable: boolean, hasFeatures: boolean): string | null {
  if (!usable && !hasFeatures) return 'The picture is too flat to be compared with others. Only its bytes were.';
  if (!usable) return 'The picture as a whole is too flat to be told by; only its details were compared.';
  return hasFeatures
    ? null
    : 'The picture has too few details to be found in parts of others; it was compared as a whole.';
}
