import { pngChunk } from './broken-photos.js';

/**
 * Writes Exif metadata for pictures that the tests and the sample claims make themselves: an Exif APP1 segment (CIPA DC-008,
 * Exif 2.32, section 4.5) around a TIFF 6.0 structure with IFD0, Exif IFD and GPS IFD, in either byte order. Nothing is checked,
 * on purpose: a test must be able to write what a broken camera writes. Fields left out are left out of the picture.
 *
 *   const photo = withExif(await sharp(…).jpeg().toBuffer(), {
 *     orientation: 6,
 *     make: 'Halde', model: 'Halde 3', software: '3.1',
 *     takenAt: '2025:03:09 14:05:07', takenOffset: '-05:00', takenSubSec: '042',
 *     gps: { latitude: 40.4462, longitude: -79.982267 },
 *   });
 */

/** A TIFF rational: numerator and denominator, each 0 to 2^32 − 1. */
export type Rational = readonly [numerator: number, denominator: number];

export interface ExifGps {
  /** Decimal degrees, south negative: written as degrees, minutes and seconds to 1/10,000 of a second. */
  readonly latitude?: number;
  /** Decimal degrees, west negative. */
  readonly longitude?: number;
  /** Raw rationals instead of `latitude`, for zero denominators and values out of range. */
  readonly latitudeRationals?: readonly Rational[];
  readonly longitudeRationals?: readonly Rational[];
  /** 'N' or 'S'; null leaves the tag out. Default: by the sign of `latitude`. */
  readonly latitudeRef?: string | null;
  /** 'E' or 'W'; null leaves the tag out. */
  readonly longitudeRef?: string | null;
  /** GPSHPositioningError in metres, to 1/100. */
  readonly errorMetres?: number;
  /** GPSDateStamp, 'YYYY:MM:DD', UTC. */
  readonly date?: string;
  /** GPSTimeStamp as hours, minutes and seconds, UTC. */
  readonly time?: readonly [hours: number, minutes: number, seconds: number];
}

export interface ExifFields {
  /** 'II' or 'MM'. Default: 'little'. */
  readonly byteOrder?: 'little' | 'big';
  /** Tag 0x0112. */
  readonly orientation?: number;
  readonly make?: string;
  readonly model?: string;
  readonly software?: string;
  /** DateTime 0x0132 (file change) as 'YYYY:MM:DD HH:MM:SS', and its offset 0x9010 as '+HH:MM'. */
  readonly changedAt?: string;
  readonly changedOffset?: string;
  /** DateTimeOriginal 0x9003, OffsetTimeOriginal 0x9011, SubSecTimeOriginal 0x9291 (decimal fraction digits). */
  readonly takenAt?: string;
  readonly takenOffset?: string;
  readonly takenSubSec?: string;
  /** DateTimeDigitized 0x9004, its offset 0x9012 and fraction 0x9292. */
  readonly digitizedAt?: string;
  readonly digitizedOffset?: string;
  readonly digitizedSubSec?: string;
  /** PixelXDimension 0xA002 and PixelYDimension 0xA003. */
  readonly pixelWidth?: number;
  readonly pixelHeight?: number;
  readonly gps?: ExifGps;
  /** MakerNote 0x927C, ImageUniqueID 0xA420, CameraOwnerName 0xA430, BodySerialNumber 0xA431. */
  readonly makerNote?: Uint8Array;
  readonly imageUniqueId?: string;
  readonly ownerName?: string;
  readonly bodySerial?: string;
  /** Further Exif IFD entries as they stand, for unknown types and broken values. */
  readonly more?: readonly RawEntry[];
}

/** One IFD entry with its value bytes already in the byte order of the file. */
export interface RawEntry {
  readonly tag: number;
  /** TIFF type id: 1 byte, 2 ASCII, 3 short, 4 long, 5 rational, 7 undefined, 129 UTF-8 (Exif 3.0). */
  readonly type: number;
  readonly count: number;
  readonly bytes: Uint8Array;
}

/** Puts an Exif segment right behind the SOI marker of a JPEG. @throws RangeError when the bytes are no JPEG or the segment is too long. */
export function withExif(jpeg: Uint8Array, fields: ExifFields): Buffer {
  if (jpeg[0] !== 0xff || jpeg[1] !== 0xd8) throw new RangeError('not a JPEG');
  return Buffer.concat([jpeg.subarray(0, 2), exifApp1(fields), jpeg.subarray(2)]);
}

/** Puts Exif in front of the picture data of a PNG, as an eXIf chunk (PNG third edition, 11.3.3.5). */
export function pngWithExif(png: Buffer, fields: ExifFields): Buffer {
  const at = png.indexOf('IDAT') - 4;
  if (at < 0) throw new RangeError('no picture data in the PNG');
  return Buffer.concat([png.subarray(0, at), pngChunk('eXIf', exifTiff(fields)), png.subarray(at)]);
}

/** Puts Exif behind the picture of a simple WebP and an extended header before it (RFC 9649 section 2.7). */
export function webpWithExif(webp: Buffer, fields: ExifFields): Buffer {
  if (webp.toString('latin1', 12, 16) !== 'VP8 ') throw new RangeError('only lossy WebP without extensions');
  const tiff = exifTiff(fields);
  const header = Buffer.alloc(10);
  header[0] = 0x08;
  header.writeUIntLE((webp.readUInt16LE(26) & 0x3fff) - 1, 4, 3);
  header.writeUIntLE((webp.readUInt16LE(28) & 0x3fff) - 1, 7, 3);
  const body = Buffer.concat([
    Buffer.from('WEBP'),
    riffChunk('VP8X', header),
    webp.subarray(12),
    riffChunk('EXIF', tiff),
  ]);
  return riffChunk('RIFF', body);
}

/** One RIFF chunk: name, length, content, padded to an even length. */
function riffChunk(name: string, content: Buffer): Buffer {
  const head = Buffer.alloc(8);
  head.write(name, 0, 'latin1');
  head.writeUInt32LE(content.length, 4);
  return Buffer.concat([head, content, Buffer.alloc(content.length % 2)]);
}

/** The APP1 segment: marker FF E1, length, 'Exif\0\0', TIFF block. @throws RangeError above 65,533 bytes of content. */
export function exifApp1(fields: ExifFields): Buffer {
  const content = Buffer.concat([Buffer.from('Exif\0\0', 'latin1'), exifTiff(fields)]);
  if (content.length > 65_533) throw new RangeError('an APP1 segment holds at most 65,533 bytes');
  const head = Buffer.from([0xff, 0xe1, 0, 0]);
  head.writeUInt16BE(content.length + 2, 2);
  return Buffer.concat([head, content]);
}

/** The bare TIFF block ('II*\0' or 'MM\0*'), as PNG eXIf chunks, WebP EXIF chunks and HEIC items carry it. */
export function exifTiff(fields: ExifFields): Buffer {
  const write = new TiffWriter(fields.byteOrder === 'big');
  const exif = exifEntries(write, fields);
  const gps = gpsEntries(write, fields.gps ?? {});
  const first = firstEntries(write, fields);
  // Pointers are longs and always fit in place, so that directory sizes do not depend on their values.
  const pointers = (exif.length > 0 ? 1 : 0) + (gps.length > 0 ? 1 : 0);
  const exifAt = 8 + directoryBytes(first) + pointers * 12;
  const gpsAt = exifAt + (exif.length > 0 ? directoryBytes(exif) : 0);
  if (exif.length > 0) first.push(write.long(0x8769, exifAt));
  if (gps.length > 0) first.push(write.long(0x8825, gpsAt));
  const parts = [write.header(), write.directory(first, 8)];
  if (exif.length > 0) parts.push(write.directory(exif, exifAt));
  if (gps.length > 0) parts.push(write.directory(gps, gpsAt));
  return Buffer.concat(parts);
}

function firstEntries(write: TiffWriter, fields: ExifFields): RawEntry[] {
  return present([
    text(write, 0x010f, fields.make),
    text(write, 0x0110, fields.model),
    fields.orientation === undefined ? undefined : write.short(0x0112, fields.orientation),
    text(write, 0x0131, fields.software),
    text(write, 0x0132, fields.changedAt),
  ]);
}

function exifEntries(write: TiffWriter, fields: ExifFields): RawEntry[] {
  const entries = present([
    text(write, 0x9003, fields.takenAt),
    text(write, 0x9004, fields.digitizedAt),
    text(write, 0x9010, fields.changedOffset),
    text(write, 0x9011, fields.takenOffset),
    text(write, 0x9012, fields.digitizedOffset),
    fields.makerNote && { tag: 0x927c, type: 7, count: fields.makerNote.length, bytes: fields.makerNote },
    text(write, 0x9291, fields.takenSubSec),
    text(write, 0x9292, fields.digitizedSubSec),
    fields.pixelWidth === undefined ? undefined : write.long(0xa002, fields.pixelWidth),
    fields.pixelHeight === undefined ? undefined : write.long(0xa003, fields.pixelHeight),
    text(write, 0xa420, fields.imageUniqueId),
    text(write, 0xa430, fields.ownerName),
    text(write, 0xa431, fields.bodySerial),
  ]);
  // TIFF 6.0 section 2 wants the entries of a directory in ascending order of tag.
  return [...entries, ...(fields.more ?? [])].sort((a, b) => a.tag - b.tag);
}

function gpsEntries(write: TiffWriter, gps: ExifGps): RawEntry[] {
  const latitude = gps.latitudeRationals ?? (gps.latitude === undefined ? undefined : sexagesimal(gps.latitude));
  const longitude = gps.longitudeRationals ?? (gps.longitude === undefined ? undefined : sexagesimal(gps.longitude));
  const latitudeRef = gps.latitudeRef === undefined ? ((gps.latitude ?? 0) < 0 ? 'S' : 'N') : gps.latitudeRef;
  const longitudeRef = gps.longitudeRef === undefined ? ((gps.longitude ?? 0) < 0 ? 'W' : 'E') : gps.longitudeRef;
  return present([
    latitude && latitudeRef !== null ? write.ascii(0x0001, latitudeRef) : undefined,
    latitude && write.rationals(0x0002, latitude),
    longitude && longitudeRef !== null ? write.ascii(0x0003, longitudeRef) : undefined,
    longitude && write.rationals(0x0004, longitude),
    gps.time &&
      write.rationals(0x0007, [
        [gps.time[0], 1],
        [gps.time[1], 1],
        [Math.round(gps.time[2] * 1000), 1000],
      ]),
    text(write, 0x001d, gps.date),
    gps.errorMetres === undefined ? undefined : write.rationals(0x001f, [[Math.round(gps.errorMetres * 100), 100]]),
  ]);
}

function present(entries: readonly (RawEntry | undefined)[]): RawEntry[] {
  return entries.filter((entry) => entry !== undefined);
}

function text(write: TiffWriter, tag: number, value: string | undefined): RawEntry | undefined {
  return value === undefined ? undefined : write.ascii(tag, value);
}

function sexagesimal(degrees: number): Rational[] {
  const tenThousandths = Math.round(Math.abs(degrees) * 3600 * 10_000);
  const seconds = tenThousandths % 600_000;
  const minutes = Math.floor(tenThousandths / 600_000);
  return [
    [Math.floor(minutes / 60), 1],
    [minutes % 60, 1],
    [seconds, 10_000],
  ];
}

function directoryBytes(entries: readonly RawEntry[]): number {
  const outside = entries.reduce(
    (sum, { bytes }) => sum + (bytes.length > 4 ? bytes.length + (bytes.length % 2) : 0),
    0,
  );
  return 2 + entries.length * 12 + 4 + outside;
}

class TiffWriter {
  private readonly big: boolean;

  constructor(big: boolean) {
    this.big = big;
  }

  header(): Buffer {
    return this.big ? Buffer.from([0x4d, 0x4d, 0, 0x2a, 0, 0, 0, 8]) : Buffer.from([0x49, 0x49, 0x2a, 0, 8, 0, 0, 0]);
  }

  ascii(tag: number, value: string): RawEntry {
    const bytes = Buffer.from(`${value}\0`, 'latin1');
    return { tag, type: 2, count: bytes.length, bytes };
  }

  short(tag: number, value: number): RawEntry {
    const bytes = Buffer.alloc(2);
    this.put16(bytes, value, 0);
    return { tag, type: 3, count: 1, bytes };
  }

  long(tag: number, value: number): RawEntry {
    const bytes = Buffer.alloc(4);
    this.put32(bytes, value, 0);
    return { tag, type: 4, count: 1, bytes };
  }

  rationals(tag: number, values: readonly Rational[]): RawEntry {
    const bytes = Buffer.alloc(values.length * 8);
    values.forEach(([numerator, denominator], index) => {
      this.put32(bytes, numerator, index * 8);
      this.put32(bytes, denominator, index * 8 + 4);
    });
    return { tag, type: 5, count: values.length, bytes };
  }

  /** A directory that begins at offset `at` of the block, followed by the values that do not fit in their entries. */
  directory(entries: readonly RawEntry[], at: number): Buffer {
    const table = Buffer.alloc(2 + entries.length * 12 + 4);
    const outside: Uint8Array[] = [];
    let next = at + table.length;
    this.put16(table, entries.length, 0);
    entries.forEach(({ tag, type, count, bytes }, index) => {
      const row = 2 + index * 12;
      this.put16(table, tag, row);
      this.put16(table, type, row + 2);
      this.put32(table, count, row + 4);
      if (bytes.length <= 4) {
        table.set(bytes, row + 8);
      } else {
        this.put32(table, next, row + 8);
        const padded = bytes.length % 2 === 0 ? bytes : Buffer.concat([bytes, Buffer.alloc(1)]);
        outside.push(padded);
        next += padded.length;
      }
    });
    return Buffer.concat([table, ...outside]);
  }

  private put16(into: Buffer, value: number, at: number): void {
    if (this.big) into.writeUInt16BE(value, at);
    else into.writeUInt16LE(value, at);
  }

  private put32(into: Buffer, value: number, at: number): void {
    if (this.big) into.writeUInt32BE(value, at);
    else into.writeUInt32LE(value, at);
  }
}
