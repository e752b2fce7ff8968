import type { PhotoMediaType } from '../domain/media-type.js';
import type { RawReading } from '../domain/photo-reading.js';
import type { LabelEffort } from './read-labels.js';

/** What the parent asks of a reader process. Files are paths: pictures never travel over the channel. */
export interface ReadOrder {
  readonly file: string;
  readonly mediaType: PhotoMediaType;
  /** Existing folder that the reader writes its renditions to. */
  readonly into: string;
  /** Longest sides in pixels. */
  readonly sizes: readonly number[];
  /** The other photo of a pair of wide and close, where it is there already. */
  readonly fellow?: Fellow;
  /** How hard to look for codes; absent: a glance. */
  readonly labels?: LabelEffort | 'none';
  /** Whether HEIC is decoded; without it a HEIC has a reading and no pictures. */
  readonly heic?: boolean;
}

/** A rendition of the photo that this one belongs with, and which of the pair it is. */
export interface Fellow {
  readonly file: string;
  readonly is: 'wide' | 'close';
}

export interface RenditionFile {
  readonly size: number;
  readonly width: number;
  readonly height: number;
  readonly file: string;
}

/** Why nothing can be shown: broken bytes, more pixels than allowed, a HEIC that is not decoded, or a reader that died or ran out of time or memory. */
export type ReadFailure = 'damaged' | 'too many pixels' | 'not shown' | 'too long' | 'too much memory' | 'reader died';

export type ReadResult =
  | { readonly ok: true; readonly reading: RawReading; readonly renditions: readonly RenditionFile[] }
  /** A HEIC that is not decoded has a reading without renditions. */
  | { readonly ok: false; readonly failure: ReadFailure; readonly detail: string; readonly reading?: RawReading };

export interface OrderMessage {
  readonly order: number;
  readonly work: ReadOrder;
}

export interface ResultMessage {
  readonly order: number;
  readonly result: ReadResult;
}
