import { existsSync, globSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { fingerprint, fingerprintDistance, TURNS } from '../../src/evidence/domain/fingerprint.js';
import { fingerprintPhoto } from '../../src/evidence/imaging/fingerprint-photo.js';

// Hashes as published with the reference implementation (facebook/ThreatExchange, pdq/java/README.md) of eight pictures beside it
// (pdq/data/bridge-mods), which are not kept here: TEST_PDQ_PICTURES names a folder that holds them.
const PUBLISHED = {
  'bridge-1-original': 'f8f8f0cce0f4e84d0e370a22028f67f0b36e2ed596623e1d33e6339c4e9c9b22',
  'bridge-2-rotate-90': 'b0a10efd71cc3f429413d48d0ffffe12e34e0e17ada952a9d29684210aa9e5af',
  'bridge-3-rotate-180': 'adad5a64b5a142e55362a09057dacd5ae63b847fc23794b766b319361fc93188',
  'bridge-4-rotate-270': 'a5f4a457a48995e8c9065c275aaa5498b61ba4bdf8fcf80387c32f8b0bfc4f05',
  'bridge-5-flipx': 'f8f80f31e0f417b00e37f5cd028f980fb36ed02a9662c1e233e6cc634e9c64dd',
  'bridge-6-flipy': '8dad2599b1a1bd1853625f6553da32a1e63b7280c2374b4866b366c91bc9ce77',
  'bridge-7-flip-plus-1': 'f0a1f102f1dcc0bd9c5309720fff018de34ef1e8ada9a956d2967ade0ea91a50',
  'bridge-8-flip-minus-1': 'a5f05ba8a4896a17c106a3da5aaaab07b61b5b42f8fc07fc83c3d0740bfcb0fa',
} as const;
const folder = process.env['TEST_PDQ_PICTURES'] ?? '';
const pictures = existsSync(folder) ? globSync('**/bridge-*.jpg', { cwd: folder }) : [];

describe.skipIf(pictures.length < 8)(
  'the published fingerprints (skipped unless TEST_PDQ_PICTURES names their pictures)',
  () => {
    it.each(Object.entries(PUBLISHED))('%s', async (name, published) => {
      const file = join(folder, pictures.find((path) => path.endsWith(`${name}.jpg`)) ?? '');
      const { data, info } = await sharp(file).removeAlpha().raw().toBuffer({ resolveWithObject: true });
      const luma = new Uint8Array(info.width * info.height);
      for (let at = 0; at < luma.length; at += 1) {
        const [red = 0, green = 0, blue = 0] = data.subarray(at * 3, at * 3 + 3);
        luma[at] = Math.round(0.299 * red + 0.587 * green + 0.114 * blue);
      }
      const whole = fingerprint({ pixels: luma, width: info.width, height: info.height });
      // The reference scales and rounds in its own ways: up to 8 bits apart in full size, 16 at the size that is kept.
      expect(fingerprintDistance(whole.hex, published)).toBeLessThanOrEqual(8);
      const kept = await fingerprintPhoto({
        content: data,
        info: { width: info.width, height: info.height, channels: 3 },
      });
      expect(fingerprintDistance(kept?.hex ?? '', published)).toBeLessThanOrEqual(16);
      const original = fingerprintDistance(PUBLISHED['bridge-1-original'], published);
      const turned = (kept?.turned ?? []).map((hex) => fingerprintDistance(hex, PUBLISHED['bridge-1-original']));
      expect(Math.min(...turned)).toBeLessThanOrEqual(20);
      expect(turned).toHaveLength(TURNS.length);
      if (name !== 'bridge-1-original') expect(original).toBeGreaterThan(60);
    });
  },
);
