/** Time fields as the camera wrote them. Kept as they are beside what is read from them; any of them may hold garbage. */
export interface RawTimes {
  /** DateTimeOriginal 0x9003, OffsetTimeOriginal 0x9011, SubSecTimeOriginal 0x9291. */
  readonly original?: string;
  readonly originalOffset?: string;
  readonly originalSubSec?: string;
  /** DateTimeDigitized 0x9004, OffsetTimeDigitized 0x9012, SubSecTimeDigitized 0x9292. */
  readonly digitized?: string;
  readonly digitizedOffset?: string;
  readonly digitizedSubSec?: string;
  /** DateTime 0x0132, OffsetTime 0x9010, SubSecTime 0x9290: when the file was last changed. Never a capture time. */
  readonly modified?: string;
  readonly modifiedOffset?: string;
  readonly modifiedSubSec?: string;
  /** GPSDateStamp 0x001d and GPSTimeStamp 0x0007 as hours, minutes, seconds; UTC. */
  readonly gpsDate?: string;
  readonly gpsTime?: readonly number[];
  /** exif:DateTimeOriginal, photoshop:DateCreated or xmp:CreateDate of the XMP packet, in this order; ISO 8601. */
  readonly xmpCreated?: string;
}

/** When a photo was taken, as far as its metadata says. Either the instant is known, or only the time on the clock of the place. */
export interface CaptureTime {
  /** RFC 3339 instant in UTC with milliseconds; absent when no offset was recorded. */
  readonly capturedAt?: string;
  /** Local date and time as recorded, without offset; absent for GPS time. */
  readonly capturedAtLocal?: string;
  /** No offset recorded: the instant lies anywhere within 14 hours of the local time read as UTC. */
  readonly zoneUnknown: boolean;
  readonly from: 'original' | 'digitized' | 'gps' | 'xmp';
  /** The offset was not recorded beside the time but worked out from the satellite clock. */
  readonly offsetFrom?: 'gps';
}

/**
 * The capture time by fixed preference: DateTimeOriginal, else DateTimeDigitized (Exif 2.32 section 4.6.5), else the GPS clock, else
 * what an XMP packet says. A time without offset borrows one from its fellows: the offset of another field that holds the same
 * time, else the distance to the GPS clock when that is an offset in use. Blank and zero dates ('0000:00:00 00:00:00') and dates that
 * do not exist count as absent. No zone of the server takes part.
 */
export function captureTime(raw: RawTimes): CaptureTime | undefined {
  return (
    fromCamera('original', raw.original, raw.originalSubSec, raw) ??
    fromCamera('digitized', raw.digitized, raw.digitizedSubSec, raw) ??
    fromGps(raw) ??
    fromXmp(raw.xmpCreated)
  );
}

function fromCamera(
  from: 'original' | 'digitized',
  time: string | undefined,
  subSec: string | undefined,
  raw: RawTimes,
): CaptureTime | undefined {
  const local = localTime(time, subSec);
  if (!local) return undefined;
  const recorded = recordedOffset(time, raw);
  const zone = recorded ?? offsetByGps(local, raw);
  const capturedAtLocal = local.toString({ smallestUnit: 'millisecond' });
  if (zone === undefined) return { capturedAtLocal, zoneUnknown: true, from };
  const borrowed = recorded === undefined ? { offsetFrom: 'gps' as const } : {};
  return { capturedAt: instantOf(local, zone), capturedAtLocal, zoneUnknown: false, from, ...borrowed };
}

/** The offset of the first field that holds this very time. Phones write the same time three times, some the offset only once. */
function recordedOffset(time: string | undefined, raw: RawTimes): string | undefined {
  const pairs = [
    [raw.original, raw.originalOffset],
    [raw.digitized, raw.digitizedOffset],
    [raw.modified, raw.modifiedOffset],
  ] as const;
  const fellows = pairs.filter(([each]) => each?.trim() === time?.trim());
  return fellows.map(([, offset]) => offsetOf(offset)).find((offset) => offset !== undefined);
}

const CAMERA_TIME = /^(\d{4})[:-](\d{2})[:-](\d{2})[ T](\d{2}):(\d{2}):(\d{2})$/;

/** Date and time as a camera writes them, with the digits of a SubSec field. Undefined when they name no moment. */
export function localTime(time: string | undefined, subSec?: string): Temporal.PlainDateTime | undefined {
  const match = CAMERA_TIME.exec((time ?? '').trim());
  if (!match) return undefined;
  const [, year, month, day, hour, minute, second] = match;
  // The digits are a decimal fraction read from the left: "5" is half a second, "042" is 42 milliseconds.
  const digits = /^\d+/.exec((subSec ?? '').trim())?.[0].slice(0, 9);
  const text = `${year}-${month}-${day}T${hour}:${minute}:${second}${digits ? `.${digits}` : ''}`;
  return year === '0000' ? undefined : orUndefined(() => Temporal.PlainDateTime.from(text, { overflow: 'reject' }));
}

/** '+HH:MM' or '-HH:MM' within the offsets in use on earth; anything else is unknown. */
export function offsetOf(text: string | undefined): string | undefined {
  const match = /^([+-])(\d{2}):(\d{2})$/.exec((text ?? '').trim());
  if (!match) return undefined;
  const minutes = Number(match[2]) * 60 + Number(match[3]);
  return Number(match[3]) < 60 && minutes <= 14 * 60 ? match[0] : undefined;
}

/** The instant of GPSDateStamp and GPSTimeStamp, which are UTC. Undefined when either is absent or names no moment. */
export function gpsInstant({ gpsDate, gpsTime }: RawTimes): Temporal.Instant | undefined {
  const [hours, minutes, seconds] = gpsTime ?? [];
  if (!gpsDate || hours === undefined || minutes === undefined || seconds === undefined) return undefined;
  if (![hours, minutes, seconds].every((part) => Number.isFinite(part) && part >= 0)) return undefined;
  if (!Number.isInteger(hours) || !Number.isInteger(minutes) || hours > 23 || minutes > 59 || seconds >= 60) {
    return undefined;
  }
  const whole = Math.floor(seconds);
  const fraction = String(Math.floor((seconds - whole) * 1000)).padStart(3, '0');
  const two = (part: number) => String(part).padStart(2, '0');
  const local = localTime(`${gpsDate.trim()} ${two(hours)}:${two(minutes)}:${two(whole)}`, fraction);
  return local?.toZonedDateTime('UTC').toInstant();
}

/** Offsets on earth are whole quarters of an hour; how far the two clocks may be apart beside that, in minutes. */
const QUARTER = 15;
const APART_MINUTES = 1;

/**
 * The offset that lies between the camera's clock and the satellites'. A fix may be older than the photo, so only a distance that is
 * a whole quarter of an hour within a minute is believed.
 */
function offsetByGps(local: Temporal.PlainDateTime, raw: RawTimes): string | undefined {
  const at = gpsInstant(raw);
  if (at === undefined) return undefined;
  const minutes = local.toZonedDateTime('UTC').toInstant().since(at).total('minutes');
  const quarters = Math.round(minutes / QUARTER);
  if (Math.abs(minutes - quarters * QUARTER) > APART_MINUTES || Math.abs(quarters * QUARTER) > 14 * 60)
    return undefined;
  const whole = Math.abs(quarters * QUARTER);
  const two = (part: number) => String(part).padStart(2, '0');
  return `${quarters < 0 ? '-' : '+'}${two(Math.floor(whole / 60))}:${two(whole % 60)}`;
}

function fromGps(raw: RawTimes): CaptureTime | undefined {
  const at = gpsInstant(raw);
  return at && { capturedAt: at.toString({ smallestUnit: 'millisecond' }), zoneUnknown: false, from: 'gps' };
}

/** XMP dates are ISO 8601 (XMP part 1, 8.2.1.2), with or without a zone; one without a time of day says too little. */
const XMP_TIME = /^(\d{4}-\d{2}-\d{2})T(\d{2}:\d{2}(?::\d{2}(?:\.\d{1,9})?)?)(Z|[+-]\d{2}:\d{2})?$/;

function fromXmp(text: string | undefined): CaptureTime | undefined {
  const match = XMP_TIME.exec((text ?? '').trim());
  if (!match) return undefined;
  const [, day, clock, zone] = match;
  const local = orUndefined(() => Temporal.PlainDateTime.from(`${day}T${clock}`, { overflow: 'reject' }));
  if (!local || local.year === 0) return undefined;
  const capturedAtLocal = local.toString({ smallestUnit: 'millisecond' });
  const offset = zone === 'Z' ? '+00:00' : offsetOf(zone);
  if (offset === undefined) return { capturedAtLocal, zoneUnknown: true, from: 'xmp' };
  return { capturedAt: instantOf(local, offset), capturedAtLocal, zoneUnknown: false, from: 'xmp' };
}

function instantOf(local: Temporal.PlainDateTime, offset: string): string {
  return local.toZonedDateTime(offset).toInstant().toString({ smallestUnit: 'millisecond' });
}

function orUndefined<T>(make: () => T): T | undefined {
  try {
    return make();
  } catch (error) {
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}

/** The earliest and latest instant that a capture time may mean; equal when the offset is known. */
export function captureWindow(capture: CaptureTime): {
  readonly from: Temporal.Instant;
  readonly to: Temporal.Instant;
} {
  if (capture.capturedAt !== undefined) {
    const at = Temporal.Instant.from(capture.capturedAt);
    return { from: at, to: at };
  }
  if (capture.capturedAtLocal === undefined) throw new RangeError('a capture time holds an instant or a local time');
  const asUtc = Temporal.PlainDateTime.from(capture.capturedAtLocal).toZonedDateTime('UTC').toInstant();
  return { from: asUtc.subtract({ hours: 14 }), to: asUtc.add({ hours: 14 }) };
}
