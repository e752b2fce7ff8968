import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import sharp from 'sharp';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { ReuseProcess } from './reuse-process.js';

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'as-noted-reuse-'));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

const open: ReuseProcess[] = [];
function started(...options: ConstructorParameters<typeof ReuseProcess>): ReuseProcess {
  const made = new ReuseProcess(...options);
  open.push(made);
  return made;
}
afterEach(() => Promise.all(open.splice(0).map((each) => each.close())));

const print = (byte: number): Uint8Array => new Uint8Array(32).fill(byte);

describe('the process that compares photos', () => {
  it('keeps fingerprints by house and finds them', async () => {
    const reuse = started();
    const size = await reuse.ask('add', {
      tenant: 'a',
      numbers: [4, 9],
      fingerprints: Buffer.concat([print(0), print(255)]),
    });
    expect(size.fingerprints).toBe(2);
    expect(await reuse.ask('standing', { tenant: 'a' })).toEqual({ last: 9, fingerprints: 2 });
    expect(await reuse.ask('standing', { tenant: 'b' })).toEqual({ last: 0, fingerprints: 0 });
    const wanted = { queries: [print(1)], limit: 60, most: 10 };
    expect(await reuse.ask('search', { tenant: 'a', ...wanted })).toEqual([{ no: 4, distance: 32, query: 0 }]);
    expect(await reuse.ask('search', { tenant: 'b', ...wanted })).toEqual([]);
  });

  it('takes features of a picture and compares them', async () => {
    const file = join(folder, 'picture.webp');
    const draw = Array.from({ length: 60 }, (_each, n) => {
      const grey = (n * 89) % 256;
      return `<rect x="${(n * 97) % 380}" y="${(n * 61) % 280}" width="${12 + (n % 40)}" height="${9 + (n % 30)}" fill="rgb(${grey},${grey},${grey})"/>`;
    });
    await sharp(Buffer.from(`<svg width="400" height="300">${draw.join('')}</svg>`))
      .flatten()
      .webp()
      .toFile(file);
    const reuse = started();
    const one = await reuse.ask('features', { file });
    const [match] = await reuse.ask('match', { one, others: [one] });
    expect(match?.inliers).toBeGreaterThan(50);
    expect(match?.turn).toEqual({ degrees: 0, factor: 1 });
  });

  it('says what it refuses and goes on', async () => {
    const reuse = started();
    await expect(reuse.ask('add', { tenant: 'a', numbers: [1], fingerprints: new Uint8Array(5) })).rejects.toThrow(
      '32 bytes',
    );
    await expect(reuse.ask('features', { file: join(folder, 'missing') })).rejects.toThrow();
    expect((await reuse.ask('standing', { tenant: 'a' })).fingerprints).toBe(0);
  });

  it('starts again after it was killed, empty', async () => {
    const reuse = started();
    await reuse.ask('add', { tenant: 'a', numbers: [1], fingerprints: print(0) });
    const under = reuse.ask('search', { tenant: 'a', queries: [print(0)], limit: 0, most: 1 });
    process.kill(reuse.pid ?? 0, 'SIGKILL');
    await under.catch((error: unknown) => expect(String(error)).toMatch(/compares photos died/));
    const again = async (): Promise<number> => {
      try {
        return (await reuse.ask('standing', { tenant: 'a' })).fingerprints;
      } catch {
        return again();
      }
    };
    expect(await again()).toBe(0);
  });

  it('is killed when it does not answer in time', async () => {
    const silent = join(folder, 'silent.mjs');
    await writeFile(silent, `process.on('message', () => undefined); process.on('disconnect', () => process.exit(0));`);
    const reuse = started(pathToFileURL(silent), 400);
    await expect(reuse.ask('standing', { tenant: 'a' })).rejects.toThrow('took too long');
  });

  it('takes no orders once it is closed', async () => {
    const reuse = started();
    await reuse.ask('standing', { tenant: 'a' });
    await reuse.close();
    await expect(reuse.ask('standing', { tenant: 'a' })).rejects.toThrow('is closed');
  });
});
