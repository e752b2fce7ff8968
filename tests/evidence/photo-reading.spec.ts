import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { loopingHeic } from '../support/broken-photos.js';
import { aPhoto, photoDesk } from '../support/photo-desk.js';
import { keptFiles, signedIn } from '../support/photo-scene.js';

const desk = photoDesk();

describe('reading a photo', () => {
  it('makes upright renditions and tells crew and analyst what each may know', async () => {
    const { id } = await desk.put(await aPhoto());
    expect((await desk.get(`/v1/photos/${id}`, desk.crew)).json()).toMatchObject({ state: 'pending', renditions: [] });
    const early = await desk.get(`/v1/photos/${id}/renditions/1024`, desk.crew);
    expect([early.statusCode, early.json<{ detail: string }>().detail]).toEqual([
      404,
      'The pictures of this photo are still being made. Ask again in a few seconds.',
    ]);
    // One job reads it, one compares it with others.
    expect(await desk.photos.workOff()).toBe(2);
    const forCrew = (await desk.get(`/v1/photos/${id}`, desk.crew)).json<Record<string, unknown>>();
    expect(forCrew).toMatchObject({
      state: 'read',
      receivedBy: { kind: 'link', name: 'Mara and Ole' },
      reading: {
        width: 48,
        height: 64,
        orientation: 6,
        capture: { capturedAt: '2026-03-02T08:30:00.000Z', zoneUnknown: false },
        camera: { make: 'Halde', model: 'Halde 3' },
        doubts: [],
      },
    });
    expect(JSON.stringify(forCrew)).not.toMatch(/position|latitude|48\.13/);
    const analyst = await signedIn(desk.data(), desk.place, ['analyst']);
    const forAnalyst = (await desk.get(`/v1/photos/${id}`, analyst)).json<{
      reading: { position: { latitude: number } };
    }>();
    expect(forAnalyst.reading.position.latitude).toBeCloseTo(48.137154, 6);

    const small = await desk.get(`/v1/photos/${id}/renditions/256`, desk.crew);
    expect(small.headers).toMatchObject({
      'content-type': 'image/webp',
      'cache-control': 'private, max-age=31536000, immutable',
      'x-content-type-options': 'nosniff',
    });
    expect(await sharp(small.rawPayload).metadata()).toMatchObject({ format: 'webp', width: 48, height: 64 });
    const again = await desk.get(`/v1/photos/${id}/renditions/256`, {
      ...desk.crew,
      'if-none-match': String(small.headers['etag']),
    });
    expect([again.statusCode, again.rawPayload.length]).toEqual([304, 0]);
    expect((await desk.get(`/v1/photos/${id}/renditions/512`, desk.crew)).statusCode).toBe(404);
    expect((await keptFiles(desk.photos)).filter((file) => file.startsWith('scratch/'))).toEqual([]);
  });

  it('keeps a truncated photo and says so', async () => {
    const whole = await sharp({
      create: {
        width: 600,
        height: 400,
        channels: 3,
        background: '#445566',
        noise: { type: 'gaussian', mean: 90, sigma: 30 },
      },
    })
      .jpeg()
      .toBuffer();
    const { status, id } = await desk.put(whole.subarray(0, Math.floor(whole.length / 2)));
    await desk.photos.workOff();
    const seen = (await desk.get(`/v1/photos/${id}`, desk.crew)).json<{
      state: string;
      reading: { truncated: boolean; doubts: { kind: string }[] };
    }>();
    expect([status, seen.state, seen.reading.truncated]).toEqual([201, 'read', true]);
    expect(seen.reading.doubts.map(({ kind }) => kind)).toEqual(['truncated']);
  });

  it('ends with a sentence for the crew where nothing can be shown', async () => {
    const { status, id } = await desk.put(loopingHeic(), { headers: { 'content-type': 'image/heic' } });
    expect(status).toBe(201);
    await desk.photos.workOff();
    expect((await desk.get(`/v1/photos/${id}`, desk.crew)).json()).toMatchObject({
      state: 'failed',
      failure: 'The photo is damaged and cannot be opened. Take it again and send it once more.',
    });
    const picture = await desk.get(`/v1/photos/${id}/renditions/256`, desk.crew);
    expect([picture.statusCode, picture.json<{ detail: string }>().detail]).toEqual([
      404,
      expect.stringContaining('damaged'),
    ]);
  });

  it('tells that the bytes are not of the type they were sent as', async () => {
    const png = await sharp({ create: { width: 40, height: 40, channels: 3, background: '#102030' } })
      .png()
      .toBuffer();
    const { id } = await desk.put(png);
    await desk.photos.workOff();
    const seen = (await desk.get(`/v1/photos/${id}`, desk.crew)).json<{
      mediaType: string;
      reading: { doubts: { kind: string }[] };
    }>();
    expect([seen.mediaType, seen.reading.doubts.map(({ kind }) => kind)]).toEqual(['image/png', ['type mismatch']]);
  });
});
