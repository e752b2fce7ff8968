import { captureTime, captureWindow, type CaptureTime, type RawTimes } from './capture-time.js';
import { cameraOf, cleanText, type Camera } from './camera.js';
import type { PhotoMediaType } from './media-type.js';
import { orientationOf } from './orientation.js';
import { positionOf, type NoPosition, type Position, type RawPosition } from './position.js';
import type { PixelSize } from './photo-limits.js';
import type { PhotoQuality } from './quality.js';

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
}

/** Everything derived from one original. It can be made again from the original at any time. */
export interface PhotoReading {
  readonly format: 'photo-reading/1';
  /** Size as displayed, in pixels. */
  readonly width: number;
  readonly height: number;
  /** Exif orientation, 1 to 8; invalid values read as 1. */
  readonly orientation: number;
  readonly capture: CaptureTime | null;
  /** The recorded strings, cleaned of control characters only. */
  readonly recordedTimes: RawTimes;
  readonly camera: Camera;
  /** Precise place: personal data of the customer. Only analysts are shown it. */
  readonly position: Position | NoPosition;
  readonly truncated: boolean;
  readonly quality?: PhotoQuality;
  readonly doubts: readonly Doubt[];
}

export type DoubtKind = 'clock' | 'truncated' | 'type mismatch' | 'seen before';

/** A small signal with its measured value and threshold. A doubt routes to a person; it never declines a claim by itself. */
export interface Doubt {
  readonly kind: DoubtKind;
  readonly says: string;
  readonly measured?: number;
  readonly threshold?: number;
}

/** What is known of a photo beside its bytes. */
export interface Circumstances {
  /** RFC 3339 instant of receipt. */
  readonly receivedAt: string;
  readonly mediaType: PhotoMediaType;
  /** Content type that the sender claimed, if any. */
  readonly declaredType?: string;
  /** Visits other than this one that hold the same bytes. */
  readonly seenOn: number;
}

/** Phones set their clocks by the network; ten minutes is generous (common practice). */
const CLOCK_TOLERANCE_MINUTES = 10;
/** No camera phone is older (common practice). */
const OLDEST_YEAR = 2005;

/** Makes the reading from raw values and circumstances. */
export function photoReading(raw: RawReading, circumstances: Circumstances): PhotoReading {
  const capture = captureTime(raw.times);
  return {
    format: 'photo-reading/1',
    width: raw.upright.width,
    height: raw.upright.height,
    orientation: orientationOf(raw.orientation).tag,
    capture: capture ?? null,
    recordedTimes: cleanTimes(raw.times),
    camera: cameraOf(raw.camera),
    position: positionOf(raw.gps),
    truncated: raw.truncated,
    ...(raw.quality && { quality: raw.quality }),
    doubts: doubtsOf(raw, capture, circumstances),
  };
}

function doubtsOf(raw: RawReading, capture: CaptureTime | undefined, known: Circumstances): Doubt[] {
  const doubts: Doubt[] = [];
  const clock = capture && clockDoubt(capture, known.receivedAt);
  if (clock) doubts.push(clock);
  if (raw.truncated) {
    doubts.push({ kind: 'truncated', says: 'The file is broken or ends too early; part of the picture is missing.' });
  }
  const declared = known.declaredType?.split(';')[0]?.trim().toLowerCase();
  if (declared?.startsWith('image/') && declared !== known.mediaType && !sameFamily(declared, known.mediaType)) {
    doubts.push({ kind: 'type mismatch', says: `It was sent as ${declared} but its bytes are ${known.mediaType}.` });
  }
  if (known.seenOn > 0) {
    const visits = known.seenOn === 1 ? 'another visit' : `${known.seenOn} other visits`;
    doubts.push({
      kind: 'seen before',
      says: `The same file is an exhibit of ${visits}.`,
      measured: known.seenOn,
      threshold: 0,
    });
  }
  return doubts;
}

function sameFamily(declared: string, found: PhotoMediaType): boolean {
  const heif = ['image/heic', 'image/heif'];
  return declared === 'image/*' || declared === 'image/jpg' || (heif.includes(declared) && heif.includes(found));
}

function clockDoubt(capture: CaptureTime, receivedAt: string): Doubt | undefined {
  const window = captureWindow(capture);
  const ahead = window.from.since(Temporal.Instant.from(receivedAt)).total('minutes');
  if (ahead > CLOCK_TOLERANCE_MINUTES) {
    const says = 'The camera says that it was taken after it was received. Its clock is probably wrong.';
    return { kind: 'clock', says, measured: Math.round(ahead), threshold: CLOCK_TOLERANCE_MINUTES };
  }
  const year = window.to.toZonedDateTimeISO('UTC').year;
  if (year < OLDEST_YEAR) {
    const says = `The camera says that it was taken in ${year}. Its clock was probably never set.`;
    return { kind: 'clock', says, measured: year, threshold: OLDEST_YEAR };
  }
  return undefined;
}

function cleanTimes(raw: RawTimes): RawTimes {
  const strings = [
    'original',
    'originalOffset',
    'originalSubSec',
    'digitized',
    'digitizedOffset',
    'digitizedSubSec',
    'gpsDate',
  ] as const;
  const cleaned = strings.flatMap((field) => {
    const text = cleanText(raw[field], 40);
    return text === undefined ? [] : [[field, text] as const];
  });
  const gpsTime = raw.gpsTime?.every((part) => Number.isFinite(part)) ? { gpsTime: raw.gpsTime.slice(0, 3) } : {};
  return { ...Object.fromEntries(cleaned), ...gpsTime };
}
