/**
 * Entry of the process that finds photos again: holds the fingerprints of tenants in memory, and takes features from pictures. It knows
 * nothing that the database does not, holds no secrets, and can be killed at any moment. Node runs it unbuilt in tests.
 */
import { constants, setPriority } from 'node:os';
import sharp from 'sharp';
import { matchFeatures } from '../domain/features-match.js';
import { featuresOf, packFeatures, unpackFeatures } from '../domain/features.js';
import { FingerprintIndex } from '../domain/fingerprint-index.js';
import { lumaForFeatures } from './fingerprint-photo.js';
import type { ReuseOrder, ReuseReply } from './reuse-messages.js';
import { inputOptions, PIPELINE_SECONDS, settleSharp } from './sharp-settings.js';

settleSharp();
// People waiting for an answer go before photos waiting to be compared.
setPriority(constants.priority.PRIORITY_BELOW_NORMAL);

process.on('SIGINT', () => undefined);
process.on('disconnect', () => process.exit(0));

const index = new FingerprintIndex();

process.on('message', (message: ReuseOrder) => {
  void reply(message);
});

async function reply(message: ReuseOrder): Promise<void> {
  const { order } = message;
  const answer = await answersTo(message).then(
    (answers): ReuseReply => ({ order, ok: true, answers }),
    (error: unknown): ReuseReply => ({
      order,
      ok: false,
      problem: error instanceof Error ? error.message : String(error),
    }),
  );
  process.send?.(answer);
}

async function answersTo(message: ReuseOrder): Promise<unknown> {
  switch (message.kind) {
    case 'standing': {
      const { tenant } = message.asks;
      return { last: index.lastOf(tenant), fingerprints: index.countOf(tenant) };
    }
    case 'add': {
      const { tenant, numbers, fingerprints } = message.asks;
      index.add(tenant, numbers, fingerprints);
      return index.size;
    }
    case 'search': {
      const { tenant, queries, limit, most } = message.asks;
      return index.search(tenant, queries, limit, most);
    }
    case 'features':
      return packFeatures(featuresOf(await lumaForFeatures(await pixelsOf(message.asks.file))));
    case 'match': {
      const one = unpackFeatures(message.asks.one);
      return message.asks.others.map((other) => matchFeatures(one, unpackFeatures(other)));
    }
  }
}

async function pixelsOf(file: string) {
  const { data, info } = await sharp(file, inputOptions('error'))
    .timeout({ seconds: PIPELINE_SECONDS })
    .toColourspace('srgb')
    .removeAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  return { content: data, info: { width: info.width, height: info.height, channels: info.channels } };
}
