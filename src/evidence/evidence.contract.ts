import type { PhotoMediaType } from './domain/media-type.js';
import type { PhotoReading } from './domain/photo-reading.js';

export { PHOTO_MEDIA_TYPES, sniffMediaType, type PhotoMediaType, type SniffedType } from './domain/media-type.js';
export { PHOTO_LIMITS, tooManyBytes, tooManyPixels, type PixelSize } from './domain/photo-limits.js';
export { captureTime, captureWindow, type CaptureTime, type RawTimes } from './domain/capture-time.js';
export { positionOf, type NoPosition, type Position, type RawPosition } from './domain/position.js';
export { parseDigestField, digestField, type DigestField } from './domain/content-digest.js';
export type { PhotoQuality, QualityAdvice, QualityFlag } from './domain/quality.js';
export type { Doubt, DoubtKind, PhotoReading } from './domain/photo-reading.js';

/** Longest sides of the renditions in pixels; a smaller photo is never enlarged. */
export const RENDITION_SIZES = [256, 1024, 2048] as const;
export type RenditionSize = (typeof RENDITION_SIZES)[number];

/** `pending` until the reader has been over it; `failed` photos keep their original and say why nothing can be shown. */
export type ExhibitState = 'pending' | 'read' | 'failed';

/** What the sender of a photo is told, now and on every repetition. */
export interface PhotoReceipt {
  readonly id: string;
  readonly item: string;
  readonly shows: string;
  readonly sha256: string;
  readonly bytes: number;
  readonly receivedAt: string;
  /** The same bytes had already come under this id, which is the one that counts. */
  readonly sameAs?: string;
}

/** One photo as others see it. `position` of the reading is present for analysts only. */
export interface Exhibit {
  readonly id: string;
  readonly inspectionId: string;
  readonly visitId: string;
  readonly item: string;
  readonly shows: string;
  readonly sha256: string;
  readonly bytes: number;
  readonly mediaType: PhotoMediaType;
  readonly fileName?: string;
  readonly receivedAt: string;
  readonly receivedBy: { readonly kind: string; readonly id: string; readonly name: string };
  readonly state: ExhibitState;
  readonly failure?: string;
  readonly reading?: Omit<PhotoReading, 'position'> & Partial<Pick<PhotoReading, 'position'>>;
  readonly renditions: readonly {
    readonly size: number;
    readonly width: number;
    readonly height: number;
    readonly bytes: number;
  }[];
  readonly withdrawnAt?: string;
}
