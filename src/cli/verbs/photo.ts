import { createHash } from 'node:crypto';
import { mkdir, mkdtemp, readFile, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { declaredSize, inMemory } from '../../evidence/domain/declared-size.js';
import type { Circumstances, VisitPlan } from '../../evidence/domain/doubts.js';
import { isHeic, PHOTO_SENTENCES, tooManyPixels } from '../../evidence/domain/photo-limits.js';
import { photoReading } from '../../evidence/domain/photo-reading.js';
import {
  RENDITION_SIZES,
  sniffMediaType,
  type PhotoMediaType,
  type PhotoReading,
} from '../../evidence/evidence.contract.js';
import type { ReadResult } from '../../evidence/imaging/reader-messages.js';
import { ReaderPool } from '../../evidence/imaging/reader-pool.js';
import { isInstant } from '../../platform/http/fields.js';
import { readOptions } from '../command-options.js';
import { EXIT, Misused, type Io } from '../verb.js';

const OPTIONS = ['--received', '--taken', '--visit-from', '--visit-to', '--delivered', '--address'];

/** What is printed of one file. */
interface PhotoReport {
  readonly format: 'photo/1';
  readonly file: string;
  readonly sha256?: string;
  readonly bytes?: number;
  readonly mediaType?: PhotoMediaType;
  /** `read`; `failed`: kept, but nothing can be shown; `refused`: not a photo that is taken in. */
  readonly state: 'read' | 'failed' | 'refused';
  readonly because?: string;
  readonly reading?: PhotoReading;
  readonly renditions?: readonly { readonly size: number; readonly width: number; readonly height: number }[];
}

/**
 * `photo FILE…`: everything that can be said of photos, one line of JSON each, without a database.
 * @returns 0 when all are read and nothing is doubted or advised, 1 when something is, 2 when a file is refused or cannot be had
 */
export async function describePhotos(args: readonly string[], io: Io): Promise<number> {
  const { operands, options } = readOptions(args, OPTIONS);
  if (operands.length === 0) throw new Misused('Name one photo or several.');
  const known = circumstancesOf(options);
  const pool = new ReaderPool();
  const scratch = await mkdtemp(join(tmpdir(), 'as-noted-photo-'));
  try {
    const codes: number[] = [];
    for (const [index, file] of operands.entries()) {
      const report = await reportOn(file, { pool, into: join(scratch, String(index)), known });
      io.out(JSON.stringify(report));
      if (report.because !== undefined) io.err(`${file}: ${report.because}`);
      codes.push(codeOf(report));
    }
    return Math.max(...codes);
  } finally {
    await pool.close();
    await rm(scratch, { recursive: true, force: true });
  }
}

type Known = Omit<Circumstances, 'mediaType'>;

async function reportOn(
  file: string,
  { pool, into, known }: { readonly pool: ReaderPool; readonly into: string; readonly known: Known },
): Promise<PhotoReport> {
  const found = await contentOf(file);
  if (typeof found === 'string') return { format: 'photo/1', file, state: 'refused', because: found };
  const seen = {
    format: 'photo/1',
    file,
    sha256: createHash('sha256').update(found).digest('hex'),
    bytes: found.length,
  } as const;
  const judged = await admit(found);
  if (!judged.ok) return { ...seen, state: 'refused', because: judged.because };
  const { mediaType } = judged;
  await mkdir(into);
  const result = await pool.read({ file, mediaType, into, sizes: RENDITION_SIZES, heic: true, labels: 'search' });
  return { ...seen, mediaType, ...told(result, { ...known, mediaType }) };
}

function told(
  result: ReadResult,
  known: Circumstances,
): Pick<PhotoReport, 'state' | 'because' | 'reading' | 'renditions'> {
  const reading = result.reading && photoReading(result.reading, known);
  if (!result.ok) return { state: 'failed', because: result.detail, ...(reading ? { reading } : {}) };
  const renditions = result.renditions.map(({ size, width, height }) => ({ size, width, height }));
  return { state: 'read', ...(reading ? { reading } : {}), renditions };
}

function codeOf({ state, reading }: PhotoReport): number {
  if (state === 'refused') return EXIT.badInput;
  const remarks = (reading?.doubts.length ?? 0) + (reading?.quality?.advice.length ?? 0);
  return state === 'failed' || remarks > 0 ? EXIT.findings : EXIT.ok;
}

/** What the service takes unless it is told otherwise. */
const MOST_BYTES = 40 * 1_048_576;
const TOO_LARGE = `The photo is larger than ${MOST_BYTES / 1_048_576} MiB. Take it again at the usual setting of the camera.`;

/** The bytes of a file, or why they cannot be had. A file that is too large is not read. */
async function contentOf(file: string): Promise<Buffer | string> {
  try {
    const { size } = await stat(file);
    return size > MOST_BYTES ? TOO_LARGE : await readFile(file);
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? error.code : undefined;
    if (code === 'ENOENT') return 'There is no such file.';
    if (code === 'EISDIR') return 'This is a folder. Name the photos in it.';
    if (code === 'EACCES') return 'The file may not be read.';
    throw error;
  }
}

type Admitted =
  { readonly ok: true; readonly mediaType: PhotoMediaType } | { readonly ok: false; readonly because: string };

/** The checks of the intake that need no decoder. */
async function admit(content: Buffer): Promise<Admitted> {
  const sniffed = sniffMediaType(content);
  if (!sniffed.ok) return { ok: false, because: sniffed.detail };
  const { mediaType } = sniffed;
  if (isHeic(mediaType)) return { ok: true, mediaType };
  const size = await declaredSize(inMemory(content), mediaType as Parameters<typeof declaredSize>[1]);
  const because = size ? tooManyPixels(size) : PHOTO_SENTENCES.damaged;
  return because === undefined ? { ok: true, mediaType } : { ok: false, because };
}

/** What is known beside the files: without it the doubts that need a visit are silent. */
function circumstancesOf(options: ReadonlyMap<string, string>): Known {
  const instant = (name: string): string | undefined => {
    const value = options.get(name);
    if (value === undefined || isInstant(value)) return value;
    throw new Misused(`${name} must be a date and time with an offset, like 2026-03-02T14:05:00-06:00.`);
  };
  const [from, to, deliveredAt] = [instant('--visit-from'), instant('--visit-to'), instant('--delivered')];
  if ((from === undefined) !== (to === undefined)) throw new Misused('Give --visit-from and --visit-to together.');
  const address = options.get('--address');
  if (from === undefined && (address ?? deliveredAt) !== undefined) {
    throw new Misused('--address and --delivered need the visit: give --visit-from and --visit-to too.');
  }
  const takenAt = instant('--taken');
  const visit: VisitPlan | undefined =
    from === undefined || to === undefined
      ? undefined
      : {
          from,
          to,
          ...(deliveredAt === undefined ? {} : { deliveredAt }),
          ...(address === undefined ? {} : { place: placeOf(address) }),
        };
  return {
    receivedAt: instant('--received') ?? Temporal.Now.instant().toString(),
    seenOn: 0,
    ...(takenAt === undefined ? {} : { takenAt }),
    ...(visit ? { visit } : {}),
  };
}

function placeOf(text: string): { readonly latitude: number; readonly longitude: number } {
  const match = /^(-?\d{1,2}(?:\.\d+)?),(-?\d{1,3}(?:\.\d+)?)$/.exec(text);
  const [latitude, longitude] = [Number(match?.[1]), Number(match?.[2])];
  if (!match || Math.abs(latitude) > 90 || Math.abs(longitude) > 180) {
    throw new Misused('--address must be latitude and longitude in degrees, like 40.4462,-79.9823.');
  }
  return { latitude, longitude };
}
