import { readdir, readFile } from 'node:fs/promises';
import { basename, dirname, extname, join, relative } from 'node:path';
import sharp from 'sharp';
import {
  fingerprint,
  fingerprintDistance,
  USABLE_QUALITY,
  type Fingerprint,
} from '../../evidence/domain/fingerprint.js';
import { isHeic } from '../../evidence/domain/photo-limits.js';
import type { GreyPicture } from '../../evidence/domain/sharpness.js';
import { SNIFF_BYTES, sniffMediaType, type PhotoMediaType } from '../../evidence/domain/media-type.js';
import { decodeHeic } from '../../evidence/imaging/heic-decoder.js';
import { readContainer, type ContainerFacts } from '../../evidence/imaging/photo-metadata.js';
import { makeRenditions, type Made } from '../../evidence/imaging/renditions.js';

/** A picture of the folder, read as the service reads it. */
export interface SetPhoto {
  /** Path inside the folder. */
  readonly name: string;
  readonly content: Buffer;
  readonly mediaType: PhotoMediaType;
  /** Undefined where the header cannot be read. */
  readonly facts: ContainerFacts | undefined;
  /** Undefined where nothing can be decoded. */
  readonly picture: SetPicture | undefined;
  /** What a file of the same name that ends in .txt says is on the label; such a picture is used for labels only. */
  readonly label: string | undefined;
}

export interface SetPicture {
  readonly made: Made;
  readonly truncated: boolean;
  readonly fingerprint: Fingerprint;
}

/** Every picture below the folder, by name. Anything that is no photo by its first bytes is passed over. */
export async function photosIn(folder: string): Promise<SetPhoto[]> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  const files = entries.filter((entry) => entry.isFile()).map(({ parentPath, name }) => join(parentPath, name));
  const photos: SetPhoto[] = [];
  for (const file of files.toSorted()) {
    const content = await readFile(file);
    const sniffed = sniffMediaType(content.subarray(0, SNIFF_BYTES));
    if (!sniffed.ok) continue;
    const beside = join(dirname(file), `${basename(file, extname(file))}.txt`);
    const label = files.includes(beside) ? (await readFile(beside, 'utf8')).trim() : undefined;
    const facts = await readContainer(content).catch(() => undefined);
    const picture = facts && (await decoded(content, sniffed.mediaType, facts));
    photos.push({ name: relative(folder, file), content, mediaType: sniffed.mediaType, facts, picture, label });
  }
  return photos;
}

/** Photos of which each shows something else: of those that look alike, however turned, the first. */
export function distinct(photos: readonly SetPhoto[]): (SetPhoto & { readonly picture: SetPicture })[] {
  const kept: (SetPhoto & { readonly picture: SetPicture })[] = [];
  for (const photo of photos) {
    const { picture, label } = photo;
    if (!picture || picture.truncated || label !== undefined) continue;
    const seen = kept.some(
      ({
        picture: {
          fingerprint: { hex },
        },
      }) => picture.fingerprint.turned.some((turned) => fingerprintDistance(turned, hex) <= ALIKE),
    );
    if (!seen) kept.push({ ...photo, picture });
  }
  return kept;
}

/** Bits of 256 that make two pictures the same one. */
const ALIKE = 60;

async function decoded(
  content: Buffer,
  mediaType: PhotoMediaType,
  facts: ContainerFacts,
): Promise<SetPicture | undefined> {
  const { hasProfile, colourSpace, profile } = facts;
  const made = async (failOn: 'error' | 'none') =>
    makeRenditions({ encoded: content, failOn, colours: { hasProfile, colourSpace } }, [1024]);
  try {
    if (isHeic(mediaType)) {
      const pixels = await decodeHeic(content);
      return await withFingerprint(await makeRenditions({ pixels, profile }, [1024]), false);
    }
    return await withFingerprint(await made('error'), false);
  } catch {
    return made('none')
      .then((lenient) => withFingerprint(lenient, true))
      .catch(() => undefined);
  }
}

async function withFingerprint(made: Made, truncated: boolean): Promise<SetPicture> {
  return { made, truncated, fingerprint: await fingerprintOf(made.grey) };
}

/** The fingerprint of a grey picture, squeezed to the size that fingerprints are taken at. */
export async function fingerprintOf({ pixels, width, height }: GreyPicture): Promise<Fingerprint> {
  const data = await sharp(pixels, { raw: { width, height, channels: 1 } })
    .resize(512, 512, { fit: 'fill' })
    .toColourspace('b-w')
    .raw()
    .toBuffer();
  return fingerprint({ pixels: data, width: 512, height: 512 });
}

export function usable({ quality }: Fingerprint): boolean {
  return quality >= USABLE_QUALITY;
}
