import sharp from 'sharp';
import { exposureOf } from '../domain/exposure.js';
import { jpegHistory } from '../domain/jpeg-history.js';
import { nearnessOf, NEARNESS_SIDE, shrunk, type Nearness } from '../domain/nearness.js';
import type { RawReading } from '../domain/photo-reading.js';
import { isHeic } from '../domain/photo-limits.js';
import { judgeQuality } from '../domain/quality.js';
import { sharpnessOf, type GreyPicture } from '../domain/sharpness.js';
import { compareThumbnail } from './compare-thumbnail.js';
import { fingerprintPhoto } from './fingerprint-photo.js';
import type { ContainerFacts } from './photo-metadata.js';
import { readLabels } from './read-labels.js';
import type { Fellow, ReadOrder } from './reader-messages.js';
import type { Made } from './renditions.js';
import { inputOptions, PIPELINE_SECONDS } from './sharp-settings.js';

/** Everything that is measured on the pixels and the coded data of a photo that could be decoded. */
export async function photoSignals(
  content: Buffer,
  facts: ContainerFacts,
  made: Made,
  order: ReadOrder,
): Promise<Partial<RawReading>> {
  const { grey } = made;
  const nearness = order.fellow && (await nearnessTo(order.fellow, grey).catch(() => undefined));
  const thumbnail = facts.thumbnail && (await compareThumbnail(facts.thumbnail, grey));
  const fingerprint = await fingerprintPhoto(made.largest);
  // A decoder that trips over a picture must not lose the photo.
  const effort = order.labels ?? 'glance';
  const pictures = { small: grey, large: made.largest, ...(isHeic(order.mediaType) ? {} : { encoded: content }) };
  const labels = effort === 'none' ? undefined : await readLabels(pictures, effort).catch(() => undefined);
  return {
    quality: judgeQuality(facts.found.upright, {
      sharpness: sharpnessOf(grey),
      exposure: exposureOf(grey),
      ...(nearness ? { nearness } : {}),
    }),
    ...(order.mediaType === 'image/jpeg' ? { jpeg: jpegHistory(content) } : {}),
    ...(thumbnail ? { thumbnail } : {}),
    ...(fingerprint ? { fingerprint } : {}),
    ...(labels ? { labels } : {}),
  };
}

/** The other photo of a pair is a rendition of ours: upright, small, and there already. */
async function nearnessTo(fellow: Fellow, grey: GreyPicture): Promise<Nearness> {
  const { data, info } = await sharp(fellow.file, inputOptions('error'))
    .timeout({ seconds: PIPELINE_SECONDS })
    .greyscale()
    .toColourspace('b-w')
    .raw({ depth: 'uchar' })
    .toBuffer({ resolveWithObject: true });
  if (info.channels !== 1) throw new Error('a grey picture has one channel');
  const other = forComparison({ pixels: data, width: info.width, height: info.height });
  const own = forComparison(grey);
  return fellow.is === 'wide' ? nearnessOf(other, own) : nearnessOf(own, other);
}

function forComparison(picture: GreyPicture): GreyPicture {
  const factor = Math.min(1, NEARNESS_SIDE / Math.max(picture.width, picture.height));
  return shrunk(picture, Math.round(picture.width * factor), Math.round(picture.height * factor));
}
