import exifr from 'exifr';
import sharp from 'sharp';
import type { RawTimes } from '../domain/capture-time.js';
import type { RawReading } from '../domain/photo-reading.js';
import type { RawPosition } from '../domain/position.js';
import { XMP_BYTES, xmpFacts } from '../domain/xmp-facts.js';
import { inputOptions } from './sharp-settings.js';

/** What a container says of its photo, before anything is decoded. */
export interface ContainerFacts {
  /** What goes into the reading. */
  readonly found: Omit<RawReading, 'truncated'>;
  readonly hasProfile: boolean;
  readonly colourSpace: string;
  /** ICC profile, as it lies in the file. */
  readonly profile?: Buffer;
  /** 'hevc' for HEIC; anything else inside a HEIF container is not kept. */
  readonly compression?: string;
  /** The JPEG that the camera embedded as a preview, undecoded. */
  readonly thumbnail?: Buffer;
}

/**
 * Reads a photo's metadata. sharp takes the container apart and exifr sees only the bare TIFF block inside it: exifr on a raw upload
 * can be hung for ever by 80 bytes (a HEIF box of length 0), and it misses dates in WebP and HEIC that sharp finds.
 * @throws Error when sharp cannot read the header
 */
export async function readContainer(content: Buffer): Promise<ContainerFacts> {
  const container = await sharp(content, inputOptions('none')).metadata();
  const tags = container.exif ? await readTiff(container.exif) : NO_TAGS;
  const xmp = container.xmp && xmpFacts(container.xmp.subarray(0, XMP_BYTES).toString('utf8'));
  const heif = container.format === 'heif';
  const stored = { width: container.width, height: container.height };
  const { ifd0, exif } = tags;
  return {
    found: {
      stored,
      upright: heif ? stored : container.autoOrient,
      // HEIF turns its pictures in the container; applying the Exif tag as well would turn them twice.
      orientation: heif ? 1 : ifd0['Orientation'],
      times: timesOf(tags, xmp?.created),
      gps: gpsOf(tags.gps),
      camera: { make: ifd0['Make'], model: ifd0['Model'], software: ifd0['Software'] },
      hasExif: container.exif !== undefined,
      exifSize: withoutAbsent({ width: exif['ExifImageWidth'], height: exif['ExifImageHeight'] }),
      ...(xmp ? { xmp } : {}),
    },
    hasProfile: container.icc !== undefined,
    colourSpace: container.space,
    ...(container.icc ? { profile: container.icc } : {}),
    ...(container.compression ? { compression: container.compression } : {}),
    ...(tags.thumbnail ? { thumbnail: tags.thumbnail } : {}),
  };
}

type Tags = Readonly<Record<string, unknown>>;
interface TagGroups {
  readonly ifd0: Tags;
  readonly exif: Tags;
  readonly gps: Tags;
  readonly thumbnail?: Buffer;
}
const NO_TAGS: TagGroups = { ifd0: {}, exif: {}, gps: {} };

type ExifrOptions = Extract<Parameters<typeof exifr.parse>[1], { firstChunkSize?: number }>;

/** Raw strings only: with revived values a date would become an instant in the zone of this server. */
const TIFF_ONLY: ExifrOptions & { readonly silentErrors: boolean } = {
  tiff: true,
  ifd0: {},
  exif: true,
  gps: true,
  ifd1: true,
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
    const tiff = exif.subarray(start);
    const parsed: unknown = await exifr.parse(tiff, TIFF_ONLY);
    const groups = asTags(parsed);
    const thumbnail = thumbnailIn(tiff, asTags(groups['ifd1']));
    return {
      ifd0: asTags(groups['ifd0']),
      exif: asTags(groups['exif']),
      gps: asTags(groups['gps']),
      ...(thumbnail ? { thumbnail } : {}),
    };
  } catch {
    // Broken metadata never costs the photo: it reads as none.
    return NO_TAGS;
  }
}

/** The preview that IFD1 points to: JPEGInterchangeFormat 0x0201 and its length 0x0202 (Exif 2.32 section 4.6.4). */
function thumbnailIn(tiff: Buffer, ifd1: Tags): Buffer | undefined {
  const [at, length] = [ifd1['ThumbnailOffset'], ifd1['ThumbnailLength']];
  if (typeof at !== 'number' || typeof length !== 'number' || length < 100 || at + length > tiff.length)
    return undefined;
  const jpeg = tiff.subarray(at, at + length);
  return jpeg[0] === 0xff && jpeg[1] === 0xd8 ? jpeg : undefined;
}

/** Offset of the TIFF header; some phones put bytes before 'Exif\0\0', so the first 64 are searched. */
function tiffStart(exif: Buffer): number | undefined {
  const head = exif.subarray(0, 64).toString('latin1');
  const found = [head.indexOf('II*\0'), head.indexOf('MM\0*')].filter((at) => at >= 0);
  return found.length === 0 ? undefined : Math.min(...found);
}

function timesOf({ ifd0, exif, gps }: TagGroups, xmpCreated: string | undefined): RawTimes {
  const fields = {
    original: text(exif['DateTimeOriginal']),
    originalOffset: text(exif['OffsetTimeOriginal']),
    originalSubSec: text(exif['SubSecTimeOriginal']),
    // exifr's names for DateTimeDigitized and its fellows are CreateDate, OffsetTimeDigitized and SubSecTimeDigitized.
    digitized: text(exif['CreateDate'] ?? exif['DateTimeDigitized']),
    digitizedOffset: text(exif['OffsetTimeDigitized']),
    digitizedSubSec: text(exif['SubSecTimeDigitized']),
    modified: text(ifd0['ModifyDate'] ?? ifd0['DateTime']),
    modifiedOffset: text(exif['OffsetTime']),
    modifiedSubSec: text(exif['SubSecTime']),
    gpsDate: text(gps['GPSDateStamp']),
    gpsTime: numbers(gps['GPSTimeStamp']),
    xmpCreated,
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

/** What should be text and is not is kept as what it looks like, so that it counts as invalid and not as absent. */
function text(value: unknown): string | undefined {
  if (value === undefined || value === null) return undefined;
  return (typeof value === 'string' ? value : `not text: ${JSON.stringify(value)}`).slice(0, 200);
}

function numbers(value: unknown): readonly number[] | undefined {
  if (typeof value === 'number') return [value];
  if (!Array.isArray(value) && !ArrayBuffer.isView(value)) return undefined;
  const parts = Array.from(value as ArrayLike<unknown>).slice(0, 4);
  return parts.every((part) => typeof part === 'number') ? parts : undefined;
}
