import { createHash } from 'node:crypto';
import { afterAll, describe, expect, it } from 'vitest';
import { heicPhoto } from '../support/heic-photo.js';
import { ObjectServer } from '../support/object-server.js';
import { aPhoto, photoDesk, problem } from '../support/photo-desk.js';
import { keptFiles, signedIn } from '../support/photo-scene.js';

const server = new ObjectServer();
const desk = photoDesk(async () => {
  await server.start();
  const { endpoint, bucket, region, keyId, secret } = server.settings;
  return {
    AS_NOTED_STORE: 's3',
    AS_NOTED_S3_ENDPOINT: endpoint,
    AS_NOTED_S3_BUCKET: bucket,
    AS_NOTED_S3_REGION: region,
    AS_NOTED_S3_KEY_ID: keyId,
    AS_NOTED_S3_SECRET: secret,
    AS_NOTED_HEIC: 'no',
  };
});
afterAll(() => server.stop());

describe('a service whose originals lie in an object store', () => {
  it('keeps originals there and nowhere else, reads them and hands them out', async () => {
    const content = await aPhoto();
    const { status, id } = await desk.put(content);
    expect(status).toBe(201);
    const sha256 = createHash('sha256').update(content).digest('hex');
    expect(server.objects.get(sha256)?.content.equals(content)).toBe(true);
    await desk.photos.workOff();
    const analyst = await signedIn(desk.data(), desk.place, ['analyst']);
    expect((await desk.get(`/v1/photos/${id}/original`, analyst)).rawPayload.equals(content)).toBe(true);
    expect((await desk.get(`/v1/photos/${id}/renditions/256`, desk.crew)).statusCode).toBe(200);
    const kept = await keptFiles(desk.photos);
    expect(kept.filter((file) => !file.startsWith('renditions/') && file !== 'picture-links.key')).toEqual([]);
  });

  it('asks phones to keep their photos while the store is down, and records nothing', async () => {
    server.mishaps.push('busy', 'busy', 'busy', 'busy');
    const content = await aPhoto();
    expect(await problem(desk.put(content))).toBe('503 unavailable');
    expect(await desk.data().rows('select 1 from exhibit')).toEqual([]);
    expect(desk.photos.lines.filter(({ level }) => level === 'error')).toMatchObject([
      { msg: 'a photo could not be stored', err: { message: expect.stringMatching(/answered 503/) as string } },
    ]);
    expect((await desk.put(content)).status).toBe(201);
  });
});

describe('a service without HEIC', () => {
  it('keeps the original and its metadata and says that it cannot be shown', async () => {
    const { status, id } = await desk.put(heicPhoto(), { headers: { 'content-type': 'image/heic' } });
    expect(status).toBe(201);
    await desk.photos.workOff();
    const seen = (await desk.get(`/v1/photos/${id}`, desk.crew)).json<Record<string, unknown>>();
    expect(seen).toMatchObject({
      state: 'failed',
      failure: 'The original is kept, but HEIC photos cannot be shown here. Send a JPEG of the same thing too.',
      reading: { width: 96, height: 64, camera: { make: 'Halde' } },
      renditions: [],
    });
  });
});
