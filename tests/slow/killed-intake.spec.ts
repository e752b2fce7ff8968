import { createHash, randomUUID } from 'node:crypto';
import { mkdtemp, readdir, readFile, rm } from 'node:fs/promises';
import { request as httpRequest } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { newToken } from '../../src/access/crypto/tokens.js';
import { digestOf, placeWithInspection, type Place } from '../support/photo-scene.js';
import { endServices, startService, type ServiceProcess } from '../support/service-process.js';
import { freshDatabase } from '../support/test-database.js';

/**
 * Photos on their way in while the built service is ended at one exact point, and started again: nothing that was begun is lost, nothing
 * is there twice. A dozen starts of the service take most of this file's time.
 */
const data = freshDatabase();
let state: string;
let place: Place;
let authorization: string;
let content: Buffer;
let sha256: string;

beforeAll(async () => {
  // Larger than a socket's buffers, so that the middle of it is in the middle of a transfer.
  const noise = { type: 'gaussian', mean: 128, sigma: 60 } as const;
  const scene = sharp({ create: { width: 1200, height: 900, channels: 3, background: '#777777', noise } });
  content = await scene.jpeg({ quality: 95 }).toBuffer();
  sha256 = createHash('sha256').update(content).digest('hex');
});
beforeEach(async () => {
  state = await mkdtemp(join(tmpdir(), 'as-noted-killed-'));
  place = await placeWithInspection(data());
  const token = newToken('link');
  authorization = `Bearer ${token.text}`;
  await data().rows(
    `insert into visit_link (tenant_id, visit_id, token_hash, crew_name, created_by, expires_at)
     values ($1, $2, $3, 'Mara and Ole', 'x', now() + interval '1 day')`,
    [place.tenant, place.visit, token.hash],
  );
});
afterEach(async () => {
  await endServices();
  await rm(state, { recursive: true, force: true });
});
afterAll(endServices);

/** @param endAt point of tests/support/end-at.mjs at which the service ends itself */
async function serve(endAt?: string): Promise<ServiceProcess> {
  const preload = new URL('../support/end-at.mjs', import.meta.url).href;
  return startService({
    AS_NOTED_MODE: 'test',
    AS_NOTED_LOG_LEVEL: 'error',
    AS_NOTED_PHOTO_RECEIPT_SECONDS: '0',
    AS_NOTED_STATE: state,
    DATABASE_URL: data().url,
    ...(endAt === undefined ? {} : { END_AT: endAt, NODE_OPTIONS: `--import ${preload}` }),
  });
}

const TUS = { 'tus-resumable': '1.0.0' };
const call = (url: string, method: string, headers: Readonly<Record<string, string>>, body?: Buffer | string) =>
  fetch(url, {
    method,
    headers: { authorization, ...headers },
    ...(body === undefined ? {} : { body: new Blob([typeof body === 'string' ? body : new Uint8Array(body)]) }),
  });

async function begin(service: ServiceProcess, photo = randomUUID()): Promise<string> {
  const fields = { inspection: place.inspection, photo, item: 'carton-front', shows: 'wide', sha256 };
  const metadata = Object.entries(fields).map(([key, value]) => `${key} ${Buffer.from(value).toString('base64')}`);
  const headers = { ...TUS, 'upload-length': String(content.length), 'upload-metadata': metadata.join(',') };
  const answer = await call(`${service.url}/v1/uploads`, 'POST', headers);
  expect(answer.status).toBe(201);
  return answer.headers.get('location') ?? '';
}

const patch = (url: string, offset: number) =>
  call(
    url,
    'PATCH',
    { ...TUS, 'upload-offset': String(offset), 'content-type': 'application/offset+octet-stream' },
    content.subarray(offset),
  );
const offsetOf = async (url: string) => Number((await call(url, 'HEAD', TUS)).headers.get('upload-offset'));
const receiptOf = async (url: string) => {
  const answer = await call(
    `${url}/receipt`,
    'PUT',
    { 'content-type': 'application/json' },
    JSON.stringify({ sha256 }),
  );
  return { status: answer.status, body: (await answer.json()) as Record<string, unknown> };
};
const put = async (service: ServiceProcess, photo: string) => {
  const url = `${service.url}/v1/inspections/${place.inspection}/photos/${photo}?item=carton-front&shows=wide`;
  const answer = await call(url, 'PUT', { 'content-type': 'image/jpeg', 'content-digest': digestOf(content) }, content);
  return { status: answer.status, body: (await answer.json()) as Record<string, unknown> };
};

/** Sends the first bytes of a request and breaks the service while the rest is on its way. */
async function sendHalf(
  service: ServiceProcess,
  path: string,
  method: string,
  headers: Readonly<Record<string, string>>,
) {
  const half = Math.floor(content.length / 2);
  const all = { authorization, 'content-length': String(content.length), ...headers };
  await new Promise<void>((settle) => {
    const sending = httpRequest(`${service.url}${path}`, { method, headers: all });
    sending.on('error', () => settle());
    sending.write(content.subarray(0, half), () => {
      void arrived(half / 2).then(() => service.kill());
    });
  });
}

/** Waits until about so many bytes lie in one file of the state folder. */
async function arrived(bytes: number): Promise<void> {
  await expect
    .poll(
      async () => {
        const found = await readdir(state, { recursive: true, withFileTypes: true });
        const files = found.filter((entry) => entry.isFile()).map((entry) => join(entry.parentPath, entry.name));
        const sizes = await Promise.all(files.map(async (file) => (await readFile(file).catch(() => '')).length));
        return Math.max(0, ...sizes);
      },
      { timeout: 20_000, interval: 20 },
    )
    .toBeGreaterThan(bytes);
}

/** One photo, whole, recorded once; and nothing else in the store. */
async function demandOne(photo: string): Promise<void> {
  expect(await data().rows('select id, sha256, bytes::int from exhibit')).toEqual([
    { id: photo, sha256, bytes: content.length },
  ]);
  expect(await data().rows('select photos::int, bytes::int from exhibit_usage')).toEqual([
    { photos: 1, bytes: content.length },
  ]);
  const kept = (await readdir(join(state, 'originals'), { recursive: true })).filter((file) =>
    /[0-9a-f]{64}$/.test(file),
  );
  expect(kept).toEqual([join(sha256.slice(0, 2), sha256.slice(2, 4), sha256)]);
  expect((await readFile(join(state, 'originals', kept[0] ?? ''))).equals(content)).toBe(true);
  await expect
    .poll(async () => (await data().rows<{ state: string }>('select state from exhibit'))[0]?.state, {
      timeout: 20_000,
    })
    .toBe('read');
  expect(await data().rows('select count(*)::int n from exhibit_rendition')).toEqual([{ n: 3 }]);
}

describe('an upload in pieces', () => {
  it('goes on from the last byte that came when the service ends in the middle of a piece', async () => {
    const photo = randomUUID();
    let service = await serve();
    const path = await begin(service, photo);
    const headers = { ...TUS, 'upload-offset': '0', 'content-type': 'application/offset+octet-stream' };
    await sendHalf(service, path, 'PATCH', headers);
    service = await serve();
    const url = `${service.url}${path}`;
    const offset = await offsetOf(url);
    expect(offset).toBeGreaterThan(0);
    expect(offset).toBeLessThan(content.length);
    expect((await receiptOf(url)).status).toBe(409);
    expect((await patch(url, offset)).status).toBe(204);
    expect(await receiptOf(url)).toMatchObject({ status: 200, body: { id: photo, sha256 } });
    await demandOne(photo);
  });

  it.each(['arriving', 'hashed', 'linked', 'recorded'])(
    'is finished by the next start, without its sender, when the service ends at "%s"',
    async (point) => {
      const photo = randomUUID();
      const ending = await serve(point);
      const path = await begin(ending, photo);
      await expect(patch(`${ending.url}${path}`, 0)).rejects.toThrow();
      await ending.kill();
      const rows = () => data().rows('select id from exhibit');
      expect(await rows()).toHaveLength(point === 'recorded' ? 1 : 0);
      const service = await serve();
      await expect.poll(rows, { timeout: 20_000, interval: 50 }).toHaveLength(1);
      const url = `${service.url}${path}`;
      expect(await offsetOf(url)).toBe(content.length);
      expect(await receiptOf(url)).toMatchObject({ status: 200, body: { id: photo, sha256, bytes: content.length } });
      await demandOne(photo);
    },
  );
});

describe('a photo in one request', () => {
  it('leaves nothing when the service ends in the middle of its body, and is taken when it is sent again', async () => {
    const photo = randomUUID();
    let service = await serve();
    const path = `/v1/inspections/${place.inspection}/photos/${photo}?item=carton-front&shows=wide`;
    await sendHalf(service, path, 'PUT', { 'content-type': 'image/jpeg', 'content-digest': digestOf(content) });
    expect(await data().rows('select 1 from exhibit')).toEqual([]);
    service = await serve();
    expect(await put(service, photo)).toMatchObject({ status: 201, body: { id: photo, sha256 } });
    await demandOne(photo);
  });

  it.each([
    ['hashed', 201],
    ['linked', 201],
    ['recorded', 200],
  ] as const)('is there once when the service ends at "%s" and it is sent again', async (point, status) => {
    const photo = randomUUID();
    const ending = await serve(point);
    await expect(put(ending, photo)).rejects.toThrow();
    await ending.kill();
    const service = await serve();
    expect(await put(service, photo)).toMatchObject({ status, body: { id: photo, sha256 } });
    await demandOne(photo);
  });
});
