import type { ErrorRate } from './doubt-rates.js';
import type { FeatureMatch } from './features-match.js';
import { isFeatureMatch } from './features-match.js';

/** How alike two photos are. None is a verdict: a person looks at both. */
export const REUSE_BANDS = ['same picture', 'probable', 'check'] as const;
export type ReuseBand = (typeof REUSE_BANDS)[number];

export const FOUND_BY = ['same bytes', 'fingerprint', 'picture inside', 'local features'] as const;
export type FoundBy = (typeof FOUND_BY)[number];

/** Bits of 256 up to which fingerprints fall into a band, and up to which photos are compared feature by feature. */
export const REUSE_LIMITS = { samePicture: 31, probable: 60, check: 70, lookCloser: 90 } as const;

/** What is known of two photos that may be one. */
export interface Likeness {
  readonly sameBytes: boolean;
  /** Between fingerprints, the best way they can be turned; absent when neither is near. */
  readonly distance?: number;
  /** Local features; absent when they were not compared. */
  readonly features?: FeatureMatch;
  /** Both carry the same camera and the same instant of capture. */
  readonly sameShot: boolean;
}

/** The band of two photos; undefined for two that nobody needs to look at. */
export function reuseBand({ sameBytes, distance = 257, features, sameShot }: Likeness): ReuseBand | undefined {
  if (sameBytes || distance <= REUSE_LIMITS.samePicture) return 'same picture';
  if (distance <= REUSE_LIMITS.probable) return 'probable';
  const featuresAgree = features !== undefined && isFeatureMatch(features);
  if (featuresAgree) return 'check';
  return distance <= REUSE_LIMITS.check && sameShot ? 'check' : undefined;
}

/**
 * How often two different photos were taken for one. Measured on general photographs; photos of one model's carton, label or papers
 * from the same standpoint do look alike, and are shown as pairs more often. docs/photos.md says how to measure on photos of one's own.
 */
export const REUSE_RATES: Readonly<Record<'fingerprint' | 'local features', ErrorRate>> = {
  fingerprint: { flagged: 0, of: 1_021_731, among: 'pairs of different photos, up to 70 of 256 bits' },
  'local features': { flagged: 0, of: 4950, among: 'pairs of different photos' },
};

/** The measured rate of the way in which a pair was found; equal bytes need none. */
export function reuseRate(foundBy: FoundBy): ErrorRate | undefined {
  if (foundBy === 'same bytes') return undefined;
  return REUSE_RATES[foundBy === 'local features' ? 'local features' : 'fingerprint'];
}
