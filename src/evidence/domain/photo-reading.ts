import { captureTime, type CaptureTime, type RawTimes } from './capture-time.js';
import { cameraOf, cleanText, type Camera } from './camera.js';
import { doubtsOf, type Circumstances, type Doubt } from './doubts.js';
import { editingSoftware } from './editing-software.js';
import type { JpegHistory, ThumbnailReading } from './file-doubts.js';
import { checkLabels, type LabelCheck } from './label-check.js';
import type { LabelReading } from './labels.js';
import { orientationOf } from './orientation.js';
import { positionOf, type NoPosition, type Position, type RawPosition } from './position.js';
import { shownFingerprint, type PhotoFingerprint, type ShownFingerprint } from './photo-fingerprint.js';
import type { PixelSize } from './photo-limits.js';
import type { PhotoQuality } from './quality.js';
import { recordedFields, type RecordedField } from './recorded-fields.js';
import type { XmpFacts } from './xmp-facts.js';

/** What the reader found in a file, before anything is made of it. Strings are as recorded and may hold garbage. */
export interface RawReading {
  readonly stored: PixelSize;
  readonly upright: PixelSize;
  readonly orientation?: unknown;
  readonly times: RawTimes;
  readonly gps: RawPosition;
  readonly camera: { readonly make?: unknown; readonly model?: unknown; readonly software?: unknown };
  /** The file ends too early or is broken inside; what could be decoded was. */
  readonly truncated: boolean;
  readonly quality?: PhotoQuality;
  /** Whether the file carries an Exif block at all. */
  readonly hasExif?: boolean;
  /** PixelXDimension 0xA002 and PixelYDimension 0xA003. */
  readonly exifSize?: { readonly width?: unknown; readonly height?: unknown };
  readonly xmp?: XmpFacts;
  readonly jpeg?: JpegHistory;
  readonly thumbnail?: ThumbnailReading;
  /** Absent for a picture too small to be told by. */
  readonly fingerprint?: PhotoFingerprint;
  /** Codes on the photo; absent where nobody looked for any. */
  readonly labels?: readonly LabelReading[];
}

/** Everything derived from one original. It can be made again from the original at any time. */
export interface PhotoReading {
  /** Readings of the first format lack what is optional here. */
  readonly format: 'photo-reading/1' | 'photo-reading/2';
  /** Size as displayed, in pixels. */
  readonly width: number;
  readonly height: number;
  /** Exif orientation, 1 to 8; invalid values read as 1. */
  readonly orientation: number;
  readonly capture: CaptureTime | null;
  /** The recorded strings, cleaned of control characters only. */
  readonly recordedTimes: RawTimes;
  /** Each metadata field by itself, with what was recorded. Those that tell a place are for analysts only. */
  readonly fields?: readonly RecordedField[];
  readonly camera: Camera;
  /** The program that may have changed the picture, where one left its name. */
  readonly editedWith?: { readonly name: string; readonly recorded: string };
  /** Precise place: personal data of the customer. Only analysts are shown it. */
  readonly position: Position | NoPosition;
  readonly truncated: boolean;
  readonly quality?: PhotoQuality;
  readonly jpeg?: JpegHistory;
  readonly thumbnail?: ThumbnailReading;
  /** What the picture looks like, to find it again. */
  readonly fingerprint?: ShownFingerprint;
  /** Codes that were read on it. */
  readonly labels?: readonly LabelReading[];
  /** How they compare with the unit that the inspection is about. */
  readonly labelCheck?: LabelCheck;
  readonly doubts: readonly Doubt[];
}

/** Makes the reading from raw values and circumstances. */
export function photoReading(raw: RawReading, circumstances: Circumstances): PhotoReading {
  const capture = captureTime(raw.times);
  const software = typeof raw.camera.software === 'string' ? cleanText(raw.camera.software) : undefined;
  const { unit } = circumstances;
  const labelCheck = unit && raw.labels ? checkLabels(raw.labels, unit, unit.labelSought) : undefined;
  const editedWith = editingSoftware([software, raw.xmp?.creatorTool, ...(raw.xmp?.agents ?? [])]);
  return {
    format: 'photo-reading/2',
    width: raw.upright.width,
    height: raw.upright.height,
    orientation: orientationOf(raw.orientation).tag,
    capture: capture ?? null,
    recordedTimes: cleanTimes(raw.times),
    fields: recordedFields(raw),
    camera: cameraOf(raw.camera),
    ...(editedWith && { editedWith }),
    position: positionOf(raw.gps),
    truncated: raw.truncated,
    ...(raw.quality && { quality: raw.quality }),
    ...(raw.jpeg && { jpeg: raw.jpeg }),
    ...(raw.thumbnail && { thumbnail: raw.thumbnail }),
    ...(raw.fingerprint && { fingerprint: shownFingerprint(raw.fingerprint) }),
    ...(raw.labels && { labels: raw.labels }),
    ...(labelCheck && { labelCheck }),
    doubts: doubtsOf(raw, capture, circumstances),
  };
}

function cleanTimes(raw: RawTimes): RawTimes {
  const strings = [
    'original',
    'originalOffset',
    'originalSubSec',
    'digitized',
    'digitizedOffset',
    'digitizedSubSec',
    'modified',
    'modifiedOffset',
    'modifiedSubSec',
    'gpsDate',
    'xmpCreated',
  ] as const;
  const cleaned = strings.flatMap((field) => {
    const text = cleanText(raw[field], 40);
    return text === undefined ? [] : [[field, text] as const];
  });
  const gpsTime = raw.gpsTime?.every((part) => Number.isFinite(part)) ? { gpsTime: raw.gpsTime.slice(0, 3) } : {};
  return { ...Object.fromEntries(cleaned), ...gpsTime };
}
