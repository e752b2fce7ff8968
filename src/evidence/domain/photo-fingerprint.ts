import { USABLE_QUALITY, type Fingerprint, type FingerprintHex } from './fingerprint.js';

/** What the reader makes of a photo to find it again. */
export interface PhotoFingerprint extends Fingerprint {
  /** The picture inside the picture, where one stands out: what is left of a screenshot. Its quality is usable. */
  readonly box?: BoxFingerprint;
}

export interface BoxFingerprint {
  readonly hex: FingerprintHex;
  readonly quality: number;
  /** Shares of width and height, 0 to 1. */
  readonly place: { readonly left: number; readonly top: number; readonly right: number; readonly bottom: number };
}

/** What of it stands in the reading of a photo; the turned forms can be made again. */
export interface ShownFingerprint {
  readonly method: 'PDQ-256';
  readonly hex: FingerprintHex;
  readonly quality: number;
  /** False for a picture too flat to be told by: it is never compared. */
  readonly usable: boolean;
  readonly box?: BoxFingerprint;
}

export function shownFingerprint({ hex, quality, box }: PhotoFingerprint): ShownFingerprint {
  return { method: 'PDQ-256', hex, quality, usable: quality >= USABLE_QUALITY, ...(box ? { box } : {}) };
}
