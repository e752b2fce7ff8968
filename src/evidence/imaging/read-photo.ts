import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import {
  heicNotShown,
  isHeic,
  PHOTO_SENTENCES,
  tooLargeForHeic,
  tooManyPixels,
  type HeicNotShown,
} from '../domain/photo-limits.js';
import type { RawReading } from '../domain/photo-reading.js';
import { decodeHeic, NoHeicDecoder } from './heic-decoder.js';
import { readContainer, type ContainerFacts } from './photo-metadata.js';
import { photoSignals } from './photo-signals.js';
import type { ReadOrder, ReadResult } from './reader-messages.js';
import { makeRenditions, type Made } from './renditions.js';

/**
 * Reads one photo from disk: metadata, upright renditions written into `order.into`, quality numbers. Runs in a process of its own;
 * call it anywhere else only in tests. Never throws for a bad photo.
 */
export async function readPhoto(order: ReadOrder): Promise<ReadResult> {
  const content = await readFile(order.file);
  let facts: ContainerFacts;
  try {
    facts = await readContainer(content);
  } catch (error) {
    return unreadable(error);
  }
  const { compression, found } = facts;
  const heic = isHeic(order.mediaType);
  if (heic && compression !== undefined && compression !== 'hevc') {
    const detail = `A HEIF photo with ${compression} inside cannot be read here.`;
    return { ok: false, failure: 'not shown', detail };
  }
  const notShown = heic ? whyNotShown(facts, order) : undefined;
  if (notShown) return withoutPictures(notShown, found);
  const tooMany = tooManyPixels(found.stored);
  if (tooMany) return { ok: false, failure: 'too many pixels', detail: tooMany };
  try {
    const { made, truncated } = heic
      ? await decodeWithLibheif(content, facts, order.sizes)
      : await decodeAsFarAsPossible(content, facts, order.sizes);
    const renditions = await Promise.all(
      made.renditions.map(async ({ content: encoded, ...rest }) => {
        const file = join(order.into, `${rest.size}.webp`);
        await writeFile(file, encoded);
        return { ...rest, file };
      }),
    );
    const signals = await photoSignals(content, facts, made, order);
    return { ok: true, reading: { ...found, truncated, ...signals }, renditions };
  } catch (error) {
    if (error instanceof NoHeicDecoder) return withoutPictures('no decoder', found);
    return unreadable(error);
  }
}

function whyNotShown(facts: ContainerFacts, order: ReadOrder): HeicNotShown | undefined {
  if (tooLargeForHeic(facts.found.upright)) return 'too large';
  return order.heic === true ? undefined : 'no decoder';
}

function withoutPictures(why: HeicNotShown, found: Omit<RawReading, 'truncated'>): ReadResult {
  return { ok: false, failure: 'not shown', detail: heicNotShown(why), reading: { ...found, truncated: false } };
}

interface Decoded {
  readonly made: Made;
  readonly truncated: boolean;
}

async function decodeWithLibheif(content: Buffer, facts: ContainerFacts, sizes: readonly number[]): Promise<Decoded> {
  const pixels = await decodeHeic(content);
  return { made: await makeRenditions({ pixels, profile: facts.profile }, sizes), truncated: false };
}

/** Strict first; what is broken inside is decoded leniently and marked, because half a photo is still evidence. */
async function decodeAsFarAsPossible(
  content: Buffer,
  { hasProfile, colourSpace }: ContainerFacts,
  sizes: readonly number[],
): Promise<Decoded> {
  const source = (failOn: 'error' | 'none') => ({ encoded: content, failOn, colours: { hasProfile, colourSpace } });
  try {
    return { made: await makeRenditions(source('error'), sizes), truncated: false };
  } catch (strict) {
    if (isLimit(strict)) throw strict;
    return { made: await makeRenditions(source('none'), sizes), truncated: true };
  }
}

function isLimit(error: unknown): boolean {
  return error instanceof Error && /pixel limit|timeout/i.test(error.message);
}

function unreadable(error: unknown): ReadResult {
  const message = error instanceof Error ? error.message : String(error);
  if (/pixel limit|channel limit/i.test(message)) {
    return { ok: false, failure: 'too many pixels', detail: PHOTO_SENTENCES.tooManyPixels };
  }
  if (/timeout/i.test(message)) return { ok: false, failure: 'too long', detail: PHOTO_SENTENCES.tooLong };
  return { ok: false, failure: 'damaged', detail: PHOTO_SENTENCES.damaged };
}
