import type { FeatureMatch } from './features-match.js';
import { isFeatureMatch } from './features-match.js';
import { reuseBand, REUSE_LIMITS, type FoundBy, type ReuseBand } from './reuse-bands.js';

/** A photo of another visit. */
interface OtherPhoto {
  readonly id: string;
  /** RFC 3339 */
  readonly receivedAt: string;
  readonly shot: string | null;
}

/** What comparing has shown of a photo and another one. */
export interface KnownOfPair {
  readonly candidate: OtherPhoto;
  readonly sameBytes?: boolean;
  readonly near?: {
    readonly distance: number;
    readonly turn: string;
    /** One of the two is a picture inside a picture. */
    readonly inside: boolean;
  };
  readonly features?: FeatureMatch;
}

/** A pair worth a look: the later photo, and what is kept of the pair. */
export interface LikelyCopy {
  readonly later: string;
  readonly pair: {
    readonly earlierId: string;
    readonly band: ReuseBand;
    readonly foundBy: FoundBy;
    readonly distance?: number;
    readonly turn?: string;
    readonly matches?: number;
    readonly inliers?: number;
    readonly move?: { readonly degrees: number; readonly factor: number };
    readonly sameShot: boolean;
  };
}

/** Which of the photos that were compared are shown beside it. @param shot camera and instant of capture of the photo itself */
export function likelyCopies(
  own: Pick<OtherPhoto, 'id' | 'receivedAt'>,
  shot: string | null,
  all: readonly KnownOfPair[],
): LikelyCopy[] {
  return all.flatMap((known) => {
    const { candidate, near, features, sameBytes = false } = known;
    const sameShot = shot !== null && shot === candidate.shot;
    const band = reuseBand({
      sameBytes,
      sameShot,
      ...(near ? { distance: near.distance } : {}),
      ...(features ? { features } : {}),
    });
    if (!band) return [];
    const [earlier, later] = inOrder(own, candidate);
    return [{ later, pair: { earlierId: earlier, band, foundBy: foundBy(known), sameShot, ...measures(known) } }];
  });
}

/** The one that was received first is the earlier; of two at the same instant the one with the lower id. */
function inOrder(one: Pick<OtherPhoto, 'id' | 'receivedAt'>, other: OtherPhoto): [earlier: string, later: string] {
  const order = Temporal.Instant.compare(
    Temporal.Instant.from(one.receivedAt),
    Temporal.Instant.from(other.receivedAt),
  );
  const first = order < 0 || (order === 0 && one.id < other.id);
  return first ? [one.id, other.id] : [other.id, one.id];
}

function foundBy({ sameBytes = false, near, features }: KnownOfPair): FoundBy {
  if (sameBytes) return 'same bytes';
  const byDetails = features !== undefined && isFeatureMatch(features);
  if (!near || (near.distance > REUSE_LIMITS.probable && byDetails)) return 'local features';
  return near.inside ? 'picture inside' : 'fingerprint';
}

function measures({
  near,
  features,
}: KnownOfPair): Omit<LikelyCopy['pair'], 'earlierId' | 'band' | 'foundBy' | 'sameShot'> {
  return {
    ...(near ? { distance: near.distance, turn: near.turn } : {}),
    ...(features
      ? {
          matches: features.matches,
          inliers: features.inliers,
          ...(features.turn
            ? { move: { degrees: features.turn.degrees, factor: Math.round(features.turn.factor * 100) / 100 } }
            : {}),
        }
      : {}),
  };
}
