import type { Corner } from './domain/mark-region.js';

export { UPRIGHT_PIPELINE, type Corner, type MarkSelector } from './domain/mark-region.js';
export { PHOTO_MEDIA_TYPES, sniffMediaType, type PhotoMediaType, type SniffedType } from './domain/media-type.js';
export { PHOTO_LIMITS, tooManyBytes, tooManyPixels, type PixelSize } from './domain/photo-limits.js';
export { captureTime, captureWindow, type CaptureTime, type RawTimes } from './domain/capture-time.js';
export { positionOf, type NoPosition, type Position, type RawPosition } from './domain/position.js';
export { parseDigestField, digestField, type DigestField } from './domain/content-digest.js';
export type { PhotoQuality, QualityAdvice, QualityFlag } from './domain/quality.js';
export type { Doubt, DoubtKind } from './domain/doubts.js';
export type { ErrorRate } from './domain/doubt-rates.js';
export type { LabelReading } from './domain/labels.js';
export type { LabelCheck } from './domain/label-check.js';
export { reuseRate, type FoundBy, type ReuseBand } from './domain/reuse-bands.js';
export type { PhotoReading } from './domain/photo-reading.js';

/** A region that somebody marked in a photo, in parts of the upright photo. */
export interface MarkedRegion {
  readonly polygon: readonly Corner[];
  readonly says?: string;
}

/** Longest sides of the renditions in pixels; a smaller photo is never enlarged. */
export const RENDITION_SIZES = [256, 1024, 2048] as const;
export type RenditionSize = (typeof RENDITION_SIZES)[number];

/** `pending` until the reader has been over it; `failed` photos keep their original and say why nothing can be shown. */
export type ExhibitState = 'pending' | 'read' | 'failed';

/** Name of the job that compares one photo with those of other visits. */
export const FIND_REUSE = 'find-reuse';

/** Name of the job that reads one photo; its payload carries the exhibit's id. */
export const READ_PHOTO = 'read-photo';

/** Who sent a photo, by which kind of session, and as what. */
export interface Sender {
  readonly kind: string;
  readonly id: string;
  readonly name: string;
  /** Content type that the sender claimed; the bytes decide what it is. */
  readonly declaredType?: string;
  /** When the sender's device says that the photo was taken: RFC 3339 with the device's offset. */
  readonly takenAt?: string;
}

/** One photo of an inspection as a claim file lists it. */
export interface PhotoOfClaim {
  readonly id: string;
  readonly item: string;
  readonly shows: string;
  /** Name for a file beside the claim file: the id and the ending of the type. */
  readonly file: string;
  readonly sha256: string;
}
