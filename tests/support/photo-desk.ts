import { randomUUID } from 'node:crypto';
import sharp from 'sharp';
import { afterAll, beforeAll, beforeEach, expect } from 'vitest';
import { withExif } from './exif-writer.js';
import { crewOf, digestOf, photoApp, placeWithInspection, type Place } from './photo-scene.js';
import { freshDatabase, type TestDatabase } from './test-database.js';

export interface PutOptions {
  readonly id?: string;
  readonly inspection?: string;
  readonly query?: string;
  readonly headers?: Readonly<Record<string, string>>;
}

export interface PutAnswer {
  readonly status: number;
  readonly body: Record<string, unknown>;
  readonly headers: Readonly<Record<string, unknown>>;
  readonly id: string;
}

/** The photo routes on a database of their own, with a fresh visit, inspection and crew before each test. */
export class PhotoDesk {
  photos: Awaited<ReturnType<typeof photoApp>>;
  place: Place;
  crew: { authorization: string };

  constructor(readonly data: () => TestDatabase) {}

  /** Sends a photo as the crew does, unless the options say otherwise. */
  async put(content: Buffer, options: PutOptions = {}): Promise<PutAnswer> {
    const { id = randomUUID(), inspection = this.place.inspection, query = 'item=carton-front&shows=wide' } = options;
    const answer = await this.photos.app.inject({
      method: 'PUT',
      url: `/v1/inspections/${inspection}/photos/${id}?${query}`,
      headers: { ...this.crew, 'content-type': 'image/jpeg', 'content-digest': digestOf(content), ...options.headers },
      payload: content,
    });
    return { status: answer.statusCode, body: answer.json<Record<string, unknown>>(), headers: answer.headers, id };
  }

  get(url: string, headers: Readonly<Record<string, string>>) {
    return this.photos.app.inject({ method: 'GET', url, headers });
  }
}

/** For the top of a file. @param env further settings of the service, asked for before it starts */
export function photoDesk(env: () => Promise<Readonly<Record<string, string>>> = async () => ({})): PhotoDesk {
  const desk = new PhotoDesk(freshDatabase());
  beforeAll(async () => {
    desk.photos = await photoApp(desk.data(), await env());
  });
  afterAll(() => desk.photos.close());
  beforeEach(async () => {
    desk.place = await placeWithInspection(desk.data());
    desk.crew = await crewOf(desk.data(), desk.place);
  });
  return desk;
}

let colour = 0;
/** A photo that no other call makes: stored on its side, taken half an hour before the tests begin, with a place. */
export async function aPhoto(): Promise<Buffer> {
  colour += 1;
  const background = { r: colour % 256, g: (colour * 7) % 256, b: 90 };
  const jpeg = await sharp({ create: { width: 64, height: 48, channels: 3, background } })
    .jpeg()
    .toBuffer();
  return withExif(jpeg, {
    orientation: 6,
    make: 'Halde',
    model: 'Halde 3',
    takenAt: '2026:03:02 09:30:00',
    takenOffset: '+01:00',
    gps: { latitude: 48.137154, longitude: 11.576124 },
  });
}

/** Status and code of a problem, whose detail must be a sentence. */
export async function problem(answer: Promise<{ status: number; body: Record<string, unknown> }>) {
  const { status, body } = await answer;
  expect(String(body['detail'])).toMatch(/\.$/);
  return `${status} ${String(body['type']).replace('/problems/', '')}`;
}
