import { readFile, rm, stat, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { heicPhoto } from '../support/heic-photo.js';
import { aPhoto, photoDesk } from '../support/photo-desk.js';
import { claimOn, keptFiles, placeWithInspection, signedIn } from '../support/photo-scene.js';

const desk = photoDesk();

async function readPhoto(content?: Buffer): Promise<string> {
  const { id } = await desk.put(content ?? (await aPhoto()));
  await desk.photos.workOff();
  return id;
}

const fileIn = (store: 'originals' | 'renditions', sha256: string) =>
  join(desk.photos.config.stateDir, store, sha256.slice(0, 2), sha256.slice(2, 4), sha256);

async function renditionOf(id: string, size = 256): Promise<{ sha256: string; bytes: number }> {
  const [row] = await desk
    .data()
    .rows<{ sha256: string; bytes: number }>(
      'select sha256, bytes::int from exhibit_rendition where exhibit_id = $1 and size = $2',
      [id, size],
    );
  if (!row) throw new Error(`no rendition of ${size}`);
  return row;
}

const again = (id: string, headers: Readonly<Record<string, string>> = desk.crew) =>
  desk.photos.app.inject({
    method: 'POST',
    url: `/v1/photos/${id}/reading`,
    headers: { ...headers, 'idempotency-key': `"again ${Math.random()}"` },
  });

describe('a picture that was lost', () => {
  it.each([
    ['is missing', (path: string) => rm(path)],
    ['is cut off', (path: string) => writeFile(path, 'RIFF')],
  ])('is made again when somebody asks for it, and it %s', async (_how, lose) => {
    const id = await readPhoto();
    const { sha256 } = await renditionOf(id);
    const path = fileIn('renditions', sha256);
    const before = await readFile(path);
    await lose(path);
    const url = `/v1/photos/${id}/renditions/256`;
    const answers = await Promise.all([desk.get(url, desk.crew), desk.get(url, desk.crew), desk.get(url, desk.crew)]);
    for (const answer of answers) {
      expect([answer.statusCode, answer.rawPayload.equals(before)]).toEqual([200, true]);
    }
    expect((await stat(path)).size).toBe(before.length);
    expect((await keptFiles(desk.photos)).filter((file) => file.startsWith('scratch/'))).toEqual([]);
  });

  it('cannot be made again without the original, and says so', async () => {
    const id = await readPhoto();
    const { sha256 } = await renditionOf(id);
    const [{ original } = { original: '' }] = await desk
      .data()
      .rows<{ original: string }>('select sha256 original from exhibit where id = $1', [id]);
    await rm(fileIn('renditions', sha256));
    await rm(fileIn('originals', original));
    const answer = await desk.get(`/v1/photos/${id}/renditions/256`, desk.crew);
    expect([answer.statusCode, answer.json<{ detail: string }>().detail]).toEqual([
      404,
      'The picture was lost and cannot be made again. Tell whoever runs the service.',
    ]);
  });
});

describe('a photo that failed', () => {
  it('is shown with its reason to the crew, and read again at their wish', async () => {
    const { id } = await desk.put(heicPhoto(), { headers: { 'content-type': 'image/heic' } });
    const [{ original } = { original: '' }] = await desk
      .data()
      .rows<{ original: string }>('select sha256 original from exhibit where id = $1', [id]);
    const bytes = await readFile(fileIn('originals', original));
    await rm(fileIn('originals', original));
    await desk.photos.workOff();
    const failed = (await desk.get(`/v1/photos/${id}`, desk.crew)).json<{ state: string; failure: string }>();
    expect(failed).toMatchObject({
      state: 'failed',
      failure: expect.stringMatching(/not in the store any more/) as string,
    });
    await writeFile(fileIn('originals', original), bytes);
    const asked = await again(id);
    expect([asked.statusCode, asked.json<{ state: string; failure?: string }>()]).toMatchObject([
      201,
      { state: 'pending' },
    ]);
    expect(asked.json()).not.toHaveProperty('failure');
    await again(id);
    // One job reads it, one compares it with others.
    expect(await desk.photos.workOff()).toBe(2);
    const read = (await desk.get(`/v1/photos/${id}`, desk.crew)).json<{ state: string; renditions: unknown[] }>();
    expect([read.state, read.renditions.length]).toEqual(['read', 3]);
    const picture = await desk.get(`/v1/photos/${id}/renditions/256`, desk.crew);
    expect(await sharp(picture.rawPayload).metadata()).toMatchObject({ format: 'webp', width: 96, height: 64 });
  });

  it('is left alone once it was read, and by those who may not send photos', async () => {
    const id = await readPhoto();
    const asked = await again(id);
    expect([asked.statusCode, asked.json<{ state: string }>().state]).toEqual([201, 'read']);
    expect(await desk.photos.workOff()).toBe(0);
    const elsewhere = await placeWithInspection(desk.data());
    expect((await again(id, await signedIn(desk.data(), elsewhere, ['analyst']))).statusCode).toBe(404);
    expect((await again(id, await signedIn(desk.data(), desk.place, ['administrator']))).statusCode).toBe(403);
  });
});

describe('a signed link', () => {
  async function linkTo(id: string, headers = desk.crew, size = 256): Promise<{ address: string; until: string }> {
    const answer = await desk.get(`/v1/photos/${id}/renditions/${size}/link`, headers);
    expect(answer.statusCode).toBe(200);
    return answer.json();
  }
  const code = async (address: string) => {
    const answer = await desk.get(address, {});
    return answer.statusCode === 200 ? '200' : `${answer.statusCode} ${answer.json<{ type: string }>().type}`;
  };

  it('shows one picture to whoever holds it, for 15 minutes', async () => {
    const id = await readPhoto();
    const { address, until } = await linkTo(id);
    expect(until).toBe('2026-03-02T09:15:00Z');
    const shown = await desk.get(address, {});
    expect(shown.statusCode).toBe(200);
    expect(shown.headers).toMatchObject({
      'content-type': 'image/webp',
      'cache-control': 'private, max-age=900',
      'x-content-type-options': 'nosniff',
      'cross-origin-resource-policy': 'cross-origin',
    });
    expect(shown.rawPayload).toEqual(await readFile(fileIn('renditions', (await renditionOf(id)).sha256)));
    desk.photos.clock.advance({ minutes: 14, seconds: 59 });
    expect(await code(address)).toBe('200');
    desk.photos.clock.advance({ seconds: 1 });
    expect(await code(address)).toBe('410 /problems/picture-link-expired');
    desk.photos.clock.advance({ minutes: -15 });
  });

  it('is refused when any part of it was changed', async () => {
    const [id, other] = [await readPhoto(), await readPhoto()];
    const { address } = await linkTo(id);
    const foreign = await placeWithInspection(desk.data());
    for (const changed of [
      address.replace('/256?', '/1024?'),
      address.replace(id, other),
      address.replace(desk.place.tenant, foreign.tenant),
      address.replace(/until=\d+/, 'until=9999999999'),
      address.replace(/signature=.{4}/, 'signature=AAAA'),
      address.replace(/signature=.*/, 'signature=x'),
    ]) {
      expect(await code(changed)).toBe('403 /problems/picture-link-invalid');
    }
    expect(await code(address.replace(/[?&]signature=.*/, ''))).toBe('400 /problems/invalid-request');
  });

  it('is given only to those who may see the picture', async () => {
    const id = await readPhoto();
    const url = `/v1/photos/${id}/renditions/256/link`;
    const elsewhere = await placeWithInspection(desk.data());
    expect((await desk.get(url, await signedIn(desk.data(), elsewhere, ['analyst']))).statusCode).toBe(404);
    expect((await desk.get(url, {})).statusCode).toBe(401);
    const retailer = await signedIn(desk.data(), desk.place, ['retailer']);
    expect((await desk.get(url, retailer)).statusCode).toBe(404);
    await claimOn(desk.data(), desk.place);
    expect(await code((await linkTo(id, retailer)).address)).toBe('200');
    expect((await desk.get(`/v1/photos/${id}/renditions/300/link`, desk.crew)).statusCode).toBe(404);
  });

  it('shows nothing of a photo that was withdrawn meanwhile', async () => {
    const id = await readPhoto();
    const { address } = await linkTo(id);
    await desk.photos.app.inject({
      method: 'POST',
      url: `/v1/photos/${id}/withdrawal`,
      headers: { ...desk.crew, 'idempotency-key': '"out"' },
    });
    expect(await code(address)).toBe('404 /problems/not-found');
  });

  it('is signed with a secret that only the service can read', async () => {
    const facts = await stat(join(desk.photos.config.stateDir, 'picture-links.key'));
    expect([facts.size, facts.mode & 0o777]).toEqual([43, 0o600]);
  });
});
