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
  /** GPSDateStamp 0x001d and GPSTimeStamp 0x0007 as hours, minutes, seconds; UTC. */
  readonly gpsDate?: string;
  readonly gpsTime?: readonly number[];
}

/** When a photo was taken, as far as its metadata says. Either the instant is known, or only the time on the clock of the place. */
export interface CaptureTime {
  /** RFC 3339 instant in UTC with milliseconds; absent when no offset was recorded. */
  readonly capturedAt?: string;
  /** Local date and time as recorded, without offset; absent for GPS time. */
  readonly capturedAtLocal?: string;
  /** No offset recorded: the instant lies anywhere within 14 hours of the local time read as UTC. */
  readonly zoneUnknown: boolean;
  readonly from: 'original' | 'digitized' | 'gps';
}

/**
 * The capture time by fixed preference: DateTimeOriginal, else DateTimeDigitized, else the GPS clock (Exif 2.32 section 4.6.5).
 * Blank and zero dates ('0000:00:00 00:00:00') and dates that do not exist count as absent. No zone of the server takes part.
 */
export function captureTime(raw: RawTimes): CaptureTime | undefined {
  return (
    fromCamera('original', raw.original, raw.originalOffset, raw.originalSubSec) ??
    fromCamera('digitized', raw.digitized, raw.digitizedOffset, raw.digitizedSubSec) ??
    fromGps(raw.gpsDate, raw.gpsTime)
  );
}

function fromCamera(
  from: 'original' | 'digitized',
  time: string | undefined,
  offset: string | undefined,
  subSec: string | undefined,
): CaptureTime | undefined {
  const local = localTime(time, subSec);
  if (!local) return undefined;
  const capturedAtLocal = local.toString({ smallestUnit: 'millisecond' });
  const zone = offsetOf(offset);
  if (zone === undefined) return { capturedAtLocal, zoneUnknown: true, from };
  const instant = local.toZonedDateTime(zone).toInstant();
  return { capturedAt: instant.toString({ smallestUnit: 'millisecond' }), capturedAtLocal, zoneUnknown: false, from };
}

const CAMERA_TIME = /^(\d{4})[:-](\d{2})[:-](\d{2})[ T](\d{2}):(\d{2}):(\d{2})$/;

function localTime(time: string | undefined, subSec: string | undefined): Temporal.PlainDateTime | undefined {
  const match = CAMERA_TIME.exec((time ?? '').trim());
  if (!match) return undefined;
  const [, year, month, day, hour, minute, second] = match;
  // The digits are a decimal fraction read from the left: "5" is half a second, "042" is 42 milliseconds.
  const digits = /^\d+/.exec((subSec ?? '').trim())?.[0].slice(0, 9);
  const text = `${year}-${month}-${day}T${hour}:${minute}:${second}${digits ? `.${digits}` : ''}`;
  try {
    return year === '0000' ? undefined : Temporal.PlainDateTime.from(text, { overflow: 'reject' });
  } catch (error) {
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}

/** '+HH:MM' or '-HH:MM' within the offsets in use on earth; anything else is unknown. */
function offsetOf(text: string | undefined): string | undefined {
  const match = /^([+-])(\d{2}):(\d{2})$/.exec((text ?? '').trim());
  if (!match) return undefined;
  const minutes = Number(match[2]) * 60 + Number(match[3]);
  return Number(match[3]) < 60 && minutes <= 14 * 60 ? match[0] : undefined;
}

function fromGps(date: string | undefined, time: readonly number[] | undefined): CaptureTime | undefined {
  const [hours, minutes, seconds] = time ?? [];
  if (!date || hours === undefined || minutes === undefined || seconds === undefined) return undefined;
  if (![hours, minutes, seconds].every((part) => Number.isFinite(part) && part >= 0)) return undefined;
  if (!Number.isInteger(hours) || !Number.isInteger(minutes) || hours > 23 || minutes > 59 || seconds >= 60) {
    return undefined;
  }
  const whole = Math.floor(seconds);
  const fraction = String(Math.floor((seconds - whole) * 1000)).padStart(3, '0');
  const two = (part: number) => String(part).padStart(2, '0');
  const local = localTime(`${date.trim()} ${two(hours)}:${two(minutes)}:${two(whole)}`, fraction);
  if (!local) return undefined;
  const capturedAt = local.toZonedDateTime('UTC').toInstant().toString({ smallestUnit: 'millisecond' });
  return { capturedAt, zoneUnknown: false, from: 'gps' };
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
