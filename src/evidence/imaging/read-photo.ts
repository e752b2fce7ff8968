import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { exposureOf } from '../domain/exposure.js';
import { heicNotShown, isHeic, PHOTO_SENTENCES, tooManyPixels } from '../domain/photo-limits.js';
import { judgeQuality } from '../domain/quality.js';
import { sharpnessOf } from '../domain/sharpness.js';
import { readContainer, type ContainerFacts } from './photo-metadata.js';
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
  const { hasProfile, colourSpace, compression, ...found } = facts;
  if (isHeic(order.mediaType)) {
    if (compression !== undefined && compression !== 'hevc') {
      return {
        ok: false,
        failure: 'not shown',
        detail: `A HEIF photo with ${compression} inside cannot be read here.`,
      };
    }
    const detail = heicNotShown(facts.upright);
    return { ok: false, failure: 'not shown', detail, reading: { ...found, truncated: false } };
  }
  const tooMany = tooManyPixels(facts.stored);
  if (tooMany) return { ok: false, failure: 'too many pixels', detail: tooMany };
  try {
    const { made, truncated } = await decodeAsFarAsPossible(content, { hasProfile, colourSpace }, order.sizes);
    const renditions = await Promise.all(
      made.renditions.map(async ({ content: encoded, ...rest }) => {
        const file = join(order.into, `${rest.size}.webp`);
        await writeFile(file, encoded);
        return { ...rest, file };
      }),
    );
    const quality = judgeQuality(facts.upright, sharpnessOf(made.grey), exposureOf(made.grey));
    return { ok: true, reading: { ...found, truncated, quality }, renditions };
  } catch (error) {
    return unreadable(error);
  }
}

/** Strict first; what is broken inside is decoded leniently and marked, because half a photo is still evidence. */
async function decodeAsFarAsPossible(
  content: Buffer,
  colours: { readonly hasProfile: boolean; readonly colourSpace: string },
  sizes: readonly number[],
): Promise<{ made: Made; truncated: boolean }> {
  try {
    return { made: await makeRenditions(content, 'error', colours, sizes), truncated: false };
  } catch (strict) {
    if (isLimit(strict)) throw strict;
    return { made: await makeRenditions(content, 'none', colours, sizes), truncated: true };
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
