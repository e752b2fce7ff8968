// One process of the photos benchmark: node photos-worker.mjs HOW FILE TIMES. HOW is
//   intake    what the service does with a photo: hash, metadata, three renditions, quality, compression, preview, fingerprint
//   codes     the same and a glance for codes
//   cascade   bare sharp, the renditions alone: decoded once, each size from the next larger one
//   straight  bare sharp, the renditions alone: three pipelines from the file
// Both kinds of bare sharp run under the same settings (one thread a picture) and write the same WebP. Prints one line of JSON: CPU and wall
// milliseconds of every time but a first one, and the peak of resident memory before and after.
import { createHash } from 'node:crypto';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { readFile, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import sharp from 'sharp';
import { readPhoto } from '../../dist/src/evidence/imaging/read-photo.js';
import { settleSharp } from '../../dist/src/evidence/imaging/sharp-settings.js';

const SIZES = [2048, 1024, 256];
const WEBP = { quality: 80, effort: 2 };
const [how, file, times] = process.argv.slice(2);
const into = mkdtempSync(path.join(tmpdir(), 'as-noted-photos-worker-'));

/** Whether the reading held a fingerprint. */
let fingerprinted = false;

const WAYS = {
  async intake() {
    const digest = createHash('sha256')
      .update(await readFile(file))
      .digest('hex');
    const result = await readPhoto({
      file,
      mediaType: 'image/jpeg',
      into,
      sizes: SIZES,
      labels: how === 'codes' ? 'glance' : 'none',
    });
    if (!result.ok || result.renditions.length !== 3) throw new Error(`${digest}: not read`);
    fingerprinted = result.reading.fingerprint !== undefined;
  },
  async straight() {
    for (const size of SIZES) {
      await sharp(file, { limitInputPixels: 100e6 })
        .autoOrient()
        .resize(size, size, { fit: 'inside', withoutEnlargement: true })
        .webp(WEBP)
        .toFile(path.join(into, `${size}.webp`));
    }
  },
  async cascade() {
    let current = await sharp(file, { limitInputPixels: 100e6 })
      .autoOrient()
      .resize(SIZES[0], SIZES[0], { fit: 'inside', withoutEnlargement: true })
      .toColourspace('srgb')
      .raw()
      .toBuffer({ resolveWithObject: true });
    for (const size of SIZES) {
      const { width, height, channels } = current.info;
      const from = sharp(current.data, { raw: { width, height, channels } });
      if (Math.max(width, height) > size) {
        current = await from.resize(size, size, { fit: 'inside' }).raw().toBuffer({ resolveWithObject: true });
      }
      const { info } = current;
      const raw = { width: info.width, height: info.height, channels: info.channels };
      await writeFile(path.join(into, `${size}.webp`), await sharp(current.data, { raw }).webp(WEBP).toBuffer());
    }
  },
};

WAYS.codes = () => WAYS.intake();

settleSharp();
try {
  const before = peakMb();
  const cpuMs = [];
  const wallMs = [];
  for (let time = 0; time <= Number(times); time += 1) {
    const cpu = process.cpuUsage();
    const from = performance.now();
    await WAYS[how]();
    const { user, system } = process.cpuUsage(cpu);
    if (time === 0) continue;
    cpuMs.push((user + system) / 1000);
    wallMs.push(performance.now() - from);
  }
  console.log(JSON.stringify({ cpuMs, wallMs, peakMb: peakMb(), beforeMb: before, fingerprinted }));
} finally {
  rmSync(into, { recursive: true, force: true });
}

/** High-water mark of resident memory, from /proc (Linux); elsewhere that of Node. */
function peakMb() {
  if (process.platform !== 'linux') return Math.round(process.resourceUsage().maxRSS / 1024);
  return Math.round(Number(/VmHWM:\s+(\d+) kB/.exec(readFileSync('/proc/self/status', 'utf8'))?.[1]) / 1024);
}
