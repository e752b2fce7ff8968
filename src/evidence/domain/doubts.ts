import { captureWindow, localTime, type CaptureTime } from './capture-time.js';
import { metresBetween, type Place } from './distance.js';
import { DOUBT_RATES, type ErrorRate } from './doubt-rates.js';
import { editingSoftware } from './editing-software.js';
import { fileDoubts } from './file-doubts.js';
import type { ExpectedUnit } from './label-check.js';
import type { PhotoMediaType } from './media-type.js';
import type { RawReading } from './photo-reading.js';
import { positionOf } from './position.js';

export type DoubtKind =
  | 'clock'
  | 'outside the visit'
  | 'time disagrees'
  | 'far from the address'
  | 'edited'
  | 'changed later'
  | 'size differs'
  | 'thumbnail differs'
  | 'compressed twice'
  | 'stripped'
  | 'truncated'
  | 'type mismatch'
  | 'seen before'
  | 're-used';

/** A small signal with its measured value and threshold. A doubt routes to a person; it never declines a claim by itself. */
export interface Doubt {
  readonly kind: DoubtKind;
  readonly says: string;
  readonly measured?: number;
  readonly threshold?: number;
  /** What `measured` and `threshold` count. */
  readonly unit?: 'minutes' | 'hours' | 'metres' | 'year' | 'visits' | 'raggedness' | 'bits of 256' | 'JPEG quality';
  /** Said beside others; next to nothing by itself. */
  readonly weak?: true;
  readonly rate?: ErrorRate;
}

/** Limits that depend on how a house works. */
export interface DoubtLimits {
  /** Photos are expected from so long before the visit's window opens … */
  readonly beforeHours: number;
  /** … to so long after it closes or the delivery is made, whichever is later. */
  readonly afterHours: number;
  /** Farther from the address than this, beside the error that the receiver claims. */
  readonly farMetres: number;
}

/** Starting values; settings of the service change them. */
export const DOUBT_LIMITS: DoubtLimits = { beforeHours: 2, afterHours: 72, farMetres: 1000 };

/** The visit that a photo belongs to. Instants are RFC 3339. */
export interface VisitPlan {
  readonly from: string;
  readonly to: string;
  readonly deliveredAt?: string;
  readonly place?: Place;
}

/** What is known of a photo beside its bytes. */
export interface Circumstances {
  /** RFC 3339 instant of receipt. */
  readonly receivedAt: string;
  readonly mediaType: PhotoMediaType;
  /** Content type that the sender claimed, if any. */
  readonly declaredType?: string;
  /** When the sender's device says that the photo was taken: RFC 3339 with the device's offset. */
  readonly takenAt?: string;
  /** Visits other than this one that hold the same bytes. */
  readonly seenOn: number;
  readonly visit?: VisitPlan;
  /** The unit that the inspection is about, and whether this photo was to show a label of it. */
  readonly unit?: ExpectedUnit & { readonly labelSought: boolean };
  readonly limits?: DoubtLimits;
}

/** Phones set their clocks by the network; ten minutes is generous (common practice). */
const CLOCK_TOLERANCE_MINUTES = 10;
/** No camera phone is older (common practice). */
const OLDEST_YEAR = 2005;

/** Every doubt about one photo. */
export function doubtsOf(raw: RawReading, capture: CaptureTime | undefined, known: Circumstances): Doubt[] {
  const clock = capture && clockDoubt(capture, known.receivedAt);
  return [
    clock,
    capture && !clock ? visitDoubt(capture, known) : undefined,
    capture && known.takenAt !== undefined ? deviceDoubt(capture, known.takenAt) : undefined,
    placeDoubt(raw, known),
    editedDoubt(raw),
    changedDoubt(raw),
    ...fileDoubts(raw),
    typeDoubt(known),
    seenDoubt(known),
  ].filter((doubt) => doubt !== undefined);
}

function clockDoubt(capture: CaptureTime, receivedAt: string): Doubt | undefined {
  const window = captureWindow(capture);
  const ahead = window.from.since(Temporal.Instant.from(receivedAt)).total('minutes');
  if (ahead > CLOCK_TOLERANCE_MINUTES) {
    const says = 'The camera says that it was taken after it was received. Its clock is probably wrong.';
    return { kind: 'clock', says, measured: Math.round(ahead), threshold: CLOCK_TOLERANCE_MINUTES, unit: 'minutes' };
  }
  const year = window.to.toZonedDateTimeISO('UTC').year;
  if (year < OLDEST_YEAR) {
    const says = `The camera says that it was taken in ${year}. Its clock was probably never set.`;
    return { kind: 'clock', says, measured: year, threshold: OLDEST_YEAR, unit: 'year' };
  }
  return undefined;
}

/** An unknown zone has every benefit: only what lies outside in every zone on earth is doubted. */
function visitDoubt(capture: CaptureTime, { visit, limits = DOUBT_LIMITS }: Circumstances): Doubt | undefined {
  if (!visit) return undefined;
  const { from, to } = captureWindow(capture);
  const early = Temporal.Instant.from(visit.from).since(to).total('hours');
  const late = Math.min(
    ...[visit.to, visit.deliveredAt ?? visit.to].map((end) => from.since(Temporal.Instant.from(end)).total('hours')),
  );
  const doubt = { kind: 'outside the visit', unit: 'hours' } as const;
  if (early > limits.beforeHours) {
    const says = `The camera says that it was taken ${span(early)} before the visit was due.`;
    return { ...doubt, says, measured: tenth(early), threshold: limits.beforeHours };
  }
  if (late > limits.afterHours) {
    const says = `The camera says that it was taken ${span(late)} after the visit.`;
    return { ...doubt, says, measured: tenth(late), threshold: limits.afterHours };
  }
  return undefined;
}

function deviceDoubt(capture: CaptureTime, takenAt: string): Doubt | undefined {
  const minutes = minutesApart(capture, takenAt);
  if (minutes <= CLOCK_TOLERANCE_MINUTES) return undefined;
  const says = `The time inside the photo is ${span(minutes / 60)} apart from the time that the phone gave when it sent it.`;
  const measured = Math.round(minutes);
  return { kind: 'time disagrees', says, measured, threshold: CLOCK_TOLERANCE_MINUTES, unit: 'minutes' };
}

/**
 * Where the camera recorded no offset but the phone gives its own, the clocks on the wall are compared, for both are the phone's; where
 * the phone gives UTC, any zone on earth may make up the difference.
 */
function minutesApart(capture: CaptureTime, takenAt: string): number {
  if (capture.capturedAtLocal !== undefined && capture.zoneUnknown && !takenAt.endsWith('Z')) {
    const wall = (text: string) => Temporal.PlainDateTime.from(text.slice(0, 19)).toZonedDateTime('UTC').toInstant();
    return Math.abs(wall(capture.capturedAtLocal).since(wall(takenAt)).total('minutes'));
  }
  const at = Temporal.Instant.from(takenAt);
  const { from, to } = captureWindow(capture);
  return Math.max(0, from.since(at).total('minutes'), at.since(to).total('minutes'));
}

/** No position is no data, never a mismatch. */
function placeDoubt(raw: RawReading, { visit, limits = DOUBT_LIMITS }: Circumstances): Doubt | undefined {
  const position = positionOf(raw.gps);
  if (typeof position === 'string' || !visit?.place) return undefined;
  const metres = metresBetween(position, visit.place);
  const threshold = Math.round(limits.farMetres + (position.errorMetres ?? 0));
  if (metres <= threshold) return undefined;
  const says = `Its position is ${metres < 10_000 ? `${tenth(metres / 1000)} km` : `${Math.round(metres / 1000)} km`} from the address of the visit.`;
  return { kind: 'far from the address', says, measured: Math.round(metres), threshold, unit: 'metres' };
}

function editedDoubt({ camera, xmp }: RawReading): Doubt | undefined {
  const software = typeof camera.software === 'string' ? camera.software : undefined;
  const found = editingSoftware([software, xmp?.creatorTool, ...(xmp?.agents ?? [])]);
  if (!found) return undefined;
  const says = `It went through ${found.name}, a program that can change pictures. Many people only turn or crop with it.`;
  return { kind: 'edited', says, rate: DOUBT_RATES.edited };
}

/** Both in the camera's own clock, so no zone takes part. */
function changedDoubt({ times }: RawReading): Doubt | undefined {
  const taken = localTime(times.original);
  const changed = localTime(times.modified);
  if (!taken || !changed) return undefined;
  const minutes = changed.since(taken).total('minutes');
  if (Math.abs(minutes) <= 1) return undefined;
  const says = `The file says that it was changed ${span(Math.abs(minutes) / 60)} ${minutes > 0 ? 'after' : 'before'} it was taken. Turning a photo is enough for that.`;
  const rate = DOUBT_RATES['changed later'];
  return {
    kind: 'changed later',
    says,
    measured: Math.round(minutes),
    threshold: 1,
    unit: 'minutes',
    weak: true,
    rate,
  };
}

function typeDoubt({ declaredType, mediaType }: Circumstances): Doubt | undefined {
  const declared = declaredType?.split(';')[0]?.trim().toLowerCase();
  if (!declared?.startsWith('image/') || declared === mediaType || sameFamily(declared, mediaType)) return undefined;
  return { kind: 'type mismatch', says: `It was sent as ${declared} but its bytes are ${mediaType}.` };
}

function sameFamily(declared: string, found: PhotoMediaType): boolean {
  const heif = ['image/heic', 'image/heif'];
  return declared === 'image/*' || declared === 'image/jpg' || (heif.includes(declared) && heif.includes(found));
}

function seenDoubt({ seenOn }: Circumstances): Doubt | undefined {
  if (seenOn === 0) return undefined;
  const visits = seenOn === 1 ? 'another visit' : `${seenOn} other visits`;
  const says = `The same file is an exhibit of ${visits}.`;
  return { kind: 'seen before', says, measured: seenOn, threshold: 0, unit: 'visits' };
}

/** '40 minutes', '3 hours', '12 days'. */
function span(hours: number): string {
  const [count, unit] =
    hours < 1.5
      ? ([hours * 60, 'minute'] as const)
      : hours < 48
        ? ([hours, 'hour'] as const)
        : ([hours / 24, 'day'] as const);
  const whole = Math.max(1, Math.round(count));
  return `${whole} ${unit}${whole === 1 ? '' : 's'}`;
}

function tenth(value: number): number {
  return Math.round(value * 10) / 10;
}
