import exifr from 'exifr';
import sharp from 'sharp';
import type { RawTimes } from '../domain/capture-time.js';
import type { RawReading } from '../domain/photo-reading.js';
import type { RawPosition } from '../domain/position.js';
import { inputOptions } from './sharp-settings.js';

export interface ContainerFacts extends Pick<
  RawReading,
  'stored' | 'upright' | 'orientation' | 'times' | 'gps' | 'camera'
> {
  readonly hasProfile: boolean;
  readonly colourSpace: string;
  /** ICC profile, as it lies in the file. */
  readonly profile?: Buffer;
  /** 'hevc' for HEIC; anything else inside a HEIF container is not kept. */
  readonly compression?: string;
}

/**
 * Reads a photo's metadata. sharp takes the container apart and exifr sees only the bare TIFF block inside it: exifr on a raw upload
 * can be hung for ever by 80 bytes (a HEIF box of length 0), and it misses dates in WebP and HEIC that sharp finds.
 * @throws Error when sharp cannot read the header
 */
export async function readContainer(content: Buffer): Promise<ContainerFacts> {
  const found = await sharp(content, inputOptions('none')).metadata();
  const tags = found.exif ? await readTiff(found.exif) : NO_TAGS;
  const heif = found.format === 'heif';
  return {
    stored: { width: found.width, height: found.height },
    upright: heif ? { width: found.width, height: found.height } : found.autoOrient,
    // HEIF turns its pictures in the container; applying the Exif tag as well would turn them twice.
    orientation: heif ? 1 : tags.ifd0['Orientation'],
    times: timesOf(tags),
    gps: gpsOf(tags.gps),
    camera: { make: tags.ifd0['Make'], model: tags.ifd0['Model'], software: tags.ifd0['Software'] },
    hasProfile: found.icc !== undefined,
    colourSpace: found.space,
    ...(found.icc ? { profile: found.icc } : {}),
    ...(found.compression ? { compression: found.compression } : {}),
  };
}

type Tags = Readonly<Record<string, unknown>>;
interface TagGroups {
  readonly ifd0: Tags;
  readonly exif: Tags;
  readonly gps: Tags;
}
const NO_TAGS: TagGroups = { ifd0: {}, exif: {}, gps: {} };

type ExifrOptions = Extract<Parameters<typeof exifr.parse>[1], { firstChunkSize?: number }>;

/** Raw strings only: with revived values a date would become an instant in the zone of this server. */
const TIFF_ONLY: ExifrOptions & { readonly silentErrors: boolean } = {
  tiff: true,
  ifd0: {},
  exif: true,
  gps: true,
  ifd1: false,
  xmp: false,
  icc: false,
  iptc: false,
  jfif: false,
  interop: false,
  makerNote: false,
  userComment: false,
  mergeOutput: false,
  translateValues: false,
  reviveValues: false,
  sanitize: true,
  silentErrors: true,
};

async function readTiff(exif: Buffer): Promise<TagGroups> {
  const start = tiffStart(exif);
  if (start === undefined) return NO_TAGS;
  try {
    const parsed: unknown = await exifr.parse(exif.subarray(start), TIFF_ONLY);
    const groups = asTags(parsed);
    return { ifd0: asTags(groups['ifd0']), exif: asTags(groups['exif']), gps: asTags(groups['gps']) };
  } catch {
    // Broken metadata never costs the photo: it reads as none.
    return NO_TAGS;
  }
}

/** Offset of the TIFF header; some phones put bytes before 'Exif\0\0', so the first 64 are searched. */
function tiffStart(exif: Buffer): number | undefined {
  const head = exif.subarray(0, 64).toString('latin1');
  const found = [head.indexOf('II*\0'), head.indexOf('MM\0*')].filter((at) => at >= 0);
  return found.length === 0 ? undefined : Math.min(...found);
}

function timesOf({ exif, gps }: TagGroups): RawTimes {
  const fields = {
    original: text(exif['DateTimeOriginal']),
    originalOffset: text(exif['OffsetTimeOriginal']),
    originalSubSec: text(exif['SubSecTimeOriginal']),
    // exifr's names for DateTimeDigitized and its fellows are CreateDate, OffsetTimeDigitized and SubSecTimeDigitized.
    digitized: text(exif['CreateDate'] ?? exif['DateTimeDigitized']),
    digitizedOffset: text(exif['OffsetTimeDigitized']),
    digitizedSubSec: text(exif['SubSecTimeDigitized']),
    gpsDate: text(gps['GPSDateStamp']),
    gpsTime: numbers(gps['GPSTimeStamp']),
  };
  return withoutAbsent(fields);
}

function gpsOf(gps: Tags): RawPosition {
  const error = gps['GPSHPositioningError'];
  return withoutAbsent({
    latitude: numbers(gps['GPSLatitude']),
    latitudeRef: text(gps['GPSLatitudeRef']),
    longitude: numbers(gps['GPSLongitude']),
    longitudeRef: text(gps['GPSLongitudeRef']),
    errorMetres: typeof error === 'number' ? error : undefined,
  });
}

function withoutAbsent<T extends object>(fields: T): { [K in keyof T]?: Exclude<T[K], undefined> } {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined)) as {
    [K in keyof T]?: Exclude<T[K], undefined>;
  };
}

function asTags(value: unknown): Tags {
  return typeof value === 'object' && value !== null ? (value as Tags) : {};
}

function text(value: unknown): string | undefined {
  return typeof value === 'string' ? value.slice(0, 200) : undefined;
}

function numbers(value: unknown): readonly number[] | undefined {
  if (typeof value === 'number') return [value];
  if (!Array.isArray(value) && !ArrayBuffer.isView(value)) return undefined;
  const parts = Array.from(value as ArrayLike<unknown>).slice(0, 4);
  return parts.every((part) => typeof part === 'number') ? parts : undefined;
}
