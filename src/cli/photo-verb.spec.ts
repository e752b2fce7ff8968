import { createHash } from 'node:crypto';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { withExif } from '../../tests/support/exif-writer.js';
import { runCommandLine } from './command-line.js';
import { VERBS } from './verbs.js';

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'as-noted-photo-verb-'));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

async function run(...args: readonly string[]) {
  const lines: string[] = [];
  const errors: string[] = [];
  const io = {
    out: (line: string) => void lines.push(line),
    err: (line: string) => void errors.push(line),
    stdin: async () => new Uint8Array(),
  };
  const code = await runCommandLine(['photo', ...args], VERBS, io);
  return { code, photos: lines.map((line) => JSON.parse(line) as Photo), errors };
}

interface Photo {
  readonly state: string;
  readonly sha256?: string;
  readonly because?: string;
  readonly reading?: {
    readonly capture: object;
    readonly doubts: readonly { kind: string; measured?: number }[];
    readonly quality: { readonly advice: readonly { flag: string }[] };
  };
}

/** Blocks of many sizes with hard edges: sharp, well lit, large enough. */
function goodScene(): Promise<Buffer> {
  const [width, height] = [1800, 1350];
  const pixels = Buffer.alloc(width * height);
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) {
      pixels[y * width + x] = (((x >> 4) * 37 + (y >> 5) * 91 + ((x ^ y) >> 6) * 53) % 200) + 20;
    }
  }
  return sharp(pixels, { raw: { width, height, channels: 1 } })
    .jpeg({ quality: 90 })
    .toBuffer();
}

async function file(name: string, content: Uint8Array): Promise<string> {
  const path = join(folder, name);
  await writeFile(path, content);
  return path;
}

const TAKEN = {
  takenAt: '2026:03:02 09:30:00',
  takenOffset: '+01:00',
  gps: { latitude: 48.137154, longitude: 11.576124 },
};
const VISIT = [
  '--visit-from=2026-03-02T08:00:00Z',
  '--visit-to=2026-03-02T10:00:00Z',
  '--received=2026-03-02T11:00:00Z',
];

describe('the verb photo', () => {
  it('says everything of a good photo and has nothing against it', { timeout: 20_000 }, async () => {
    const content = withExif(await goodScene(), TAKEN);
    const { code, photos } = await run(await file('good.jpg', content), ...VISIT, '--address=48.1372,11.5761');
    expect(photos).toMatchObject([
      {
        format: 'photo/1',
        state: 'read',
        sha256: createHash('sha256').update(content).digest('hex'),
        mediaType: 'image/jpeg',
        reading: {
          width: 1800,
          capture: { capturedAt: '2026-03-02T08:30:00.000Z' },
          quality: { advice: [] },
          doubts: [],
        },
        renditions: [{ size: 2048 }, { size: 1024 }, { size: 256 }],
      },
    ]);
    expect(code).toBe(0);
  });

  it('compares a photo with the visit that it is told of', { timeout: 20_000 }, async () => {
    const path = await file('late.jpg', withExif(await goodScene(), { ...TAKEN, takenAt: '2026:03:01 09:30:00' }));
    const { code, photos } = await run(path, ...VISIT, '--address=49.137154,11.576124');
    expect(photos[0]?.reading?.doubts.map(({ kind, measured }) => [kind, measured])).toEqual([
      ['outside the visit', 23.5],
      ['far from the address', 111_195],
    ]);
    expect(code).toBe(1);
  });

  it('goes on after a file that is refused, and says which and why', { timeout: 20_000 }, async () => {
    const [gif, absent] = [await file('x.jpg', Buffer.from('GIF89a...........')), join(folder, 'absent.jpg')];
    const small = await file(
      's.jpg',
      await sharp(await goodScene())
        .resize(400)
        .jpeg()
        .toBuffer(),
    );
    const { code, photos, errors } = await run(gif, absent, small);
    expect(photos.map(({ state }) => state)).toEqual(['refused', 'refused', 'read']);
    expect(photos.map(({ because }) => because)).toEqual([
      expect.stringMatching(/GIF/),
      'There is no such file.',
      undefined,
    ]);
    expect(photos[2]?.reading?.quality.advice.map(({ flag }) => flag)).toContain('too small');
    expect([code, errors.length]).toEqual([2, 2]);
  });

  it.each([
    [[], 'Name one photo'],
    [['a.jpg', '--taken', 'yesterday'], '--taken must be'],
    [['a.jpg', '--visit-from', '2026-03-02T08:00:00Z'], 'together'],
    [['a.jpg', '--address', '48,11'], 'need the visit'],
    [['a.jpg', ...VISIT, '--address', '91,11'], '--address must be'],
    [['a.jpg', '--exif'], 'no option'],
  ])('refuses %j', async (args, words) => {
    const { code, errors, photos } = await run(...args);
    expect([code, photos]).toEqual([2, []]);
    expect(errors.join(' ')).toContain(words);
  });
});
