import { cleanText } from './camera.js';
import { gpsInstant, localTime, offsetOf, type RawTimes } from './capture-time.js';
import { positionOf, type RawPosition } from './position.js';
import type { RawReading } from './photo-reading.js';

/**
 * One metadata field by itself: whether it is there, whether it means something, and the text as recorded, cleaned of control
 * characters only. One broken field never takes another with it.
 */
export interface RecordedField {
  readonly field: FieldName;
  readonly state: 'absent' | 'invalid' | 'valid';
  readonly recorded?: string;
}

export type FieldName =
  | 'DateTimeOriginal'
  | 'OffsetTimeOriginal'
  | 'SubSecTimeOriginal'
  | 'DateTimeDigitized'
  | 'OffsetTimeDigitized'
  | 'DateTime'
  | 'OffsetTime'
  | 'GPSTime'
  | 'GPSPosition'
  | 'GPSHPositioningError'
  | 'Orientation'
  | 'PixelDimensions'
  | 'Make'
  | 'Model'
  | 'Software'
  | 'XMP date'
  | 'XMP CreatorTool';

/** Fields that tell a place; they go where the position goes. */
export const PLACE_FIELDS: readonly FieldName[] = ['GPSPosition', 'GPSHPositioningError'];

/** Longest text of a field that is kept. */
const LONGEST = 80;

/** Every field that is read, in a fixed order. */
export function recordedFields(raw: RawReading): RecordedField[] {
  const { times, gps, camera, xmp, exifSize } = raw;
  const size = [exifSize?.width, exifSize?.height];
  return [
    ...timeFields(times),
    field('GPSPosition', positionText(gps), typeof positionOf(gps) !== 'string'),
    field('GPSHPositioningError', numberText(gps.errorMetres), (gps.errorMetres ?? -1) >= 0),
    field('Orientation', numberText(raw.orientation), [1, 2, 3, 4, 5, 6, 7, 8].includes(Number(raw.orientation))),
    field(
      'PixelDimensions',
      size.every((side) => side === undefined) ? undefined : size.map(String).join(' × '),
      size.every((side) => typeof side === 'number' && Number.isInteger(side) && side > 0),
    ),
    field('Make', textOf(camera.make), cleanText(camera.make) !== undefined),
    field('Model', textOf(camera.model), cleanText(camera.model) !== undefined),
    field('Software', textOf(camera.software), cleanText(camera.software) !== undefined),
    field('XMP date', xmp?.created, /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}/.test(xmp?.created ?? '')),
    field('XMP CreatorTool', xmp?.creatorTool, xmp?.creatorTool !== undefined),
  ];
}

function timeFields(times: RawTimes): RecordedField[] {
  const { gpsDate, gpsTime } = times;
  const gps =
    gpsDate === undefined && gpsTime === undefined ? undefined : `${gpsDate ?? ''} ${gpsTime?.join(':') ?? ''}`;
  return [
    field('DateTimeOriginal', times.original, localTime(times.original) !== undefined),
    field('OffsetTimeOriginal', times.originalOffset, offsetOf(times.originalOffset) !== undefined),
    field('SubSecTimeOriginal', times.originalSubSec, /^\d/.test((times.originalSubSec ?? '').trim())),
    field('DateTimeDigitized', times.digitized, localTime(times.digitized) !== undefined),
    field('OffsetTimeDigitized', times.digitizedOffset, offsetOf(times.digitizedOffset) !== undefined),
    field('DateTime', times.modified, localTime(times.modified) !== undefined),
    field('OffsetTime', times.modifiedOffset, offsetOf(times.modifiedOffset) !== undefined),
    field('GPSTime', gps, gpsInstant(times) !== undefined),
  ];
}

function field(name: FieldName, recorded: string | undefined, means: boolean): RecordedField {
  if (recorded === undefined) return { field: name, state: 'absent' };
  const text = cleanText(recorded, LONGEST) ?? '';
  return { field: name, state: means ? 'valid' : 'invalid', recorded: text };
}

function positionText({ latitude, latitudeRef, longitude, longitudeRef }: RawPosition): string | undefined {
  if (latitude === undefined && longitude === undefined) return undefined;
  const part = (parts: readonly number[] | undefined, ref: string | undefined) =>
    `${parts?.map((each) => Math.round(each * 1e6) / 1e6).join(' ') ?? ''} ${ref ?? ''}`.trim();
  return `${part(latitude, latitudeRef)}, ${part(longitude, longitudeRef)}`;
}

function numberText(value: unknown): string | undefined {
  return value === undefined ? undefined : textOf(value);
}

function textOf(value: unknown): string | undefined {
  if (value === undefined || value === null) return undefined;
  if (typeof value === 'string') return value;
  return typeof value === 'number' ? String(value) : 'not text';
}
