import { createHash, randomBytes } from 'node:crypto';
import { mkdtemp, readdir, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { buffer } from 'node:stream/consumers';
import { AwsClient } from 'aws4fetch';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { checkStore, type StoreFault } from '../../src/evidence/store/store-check.js';
import { ObjectRequests } from '../../src/evidence/store/object-requests.js';
import { ObjectStore } from '../../src/evidence/store/object-store.js';
import type { ObjectStoreSettings } from '../../src/platform/config/photo-settings.js';
import { startSwift, swiftMissing, type Swift } from '../support/swift.js';

const missing = await swiftMissing();
let swift: Swift;
let folder: string;

/** The store of originals against a server that was written by others and checks signatures and hashes. */
describe.skipIf(missing !== undefined)(
  `Debian's Swift by its S3 interface${missing === undefined ? '' : `: ${missing}`}`,
  () => {
    beforeAll(async () => {
      swift = await startSwift();
      folder = await mkdtemp(join(tmpdir(), 'as-noted-swift-arriving-'));
      const { endpoint, bucket, keyId, secret, region } = swift.settings;
      const client = new AwsClient({ accessKeyId: keyId, secretAccessKey: secret, region, service: 's3' });
      const made = await client.fetch(`${endpoint}/${bucket}`, { method: 'PUT' });
      expect(made.status).toBe(200);
    });
    afterAll(async () => {
      await swift.stop();
      await rm(folder, { recursive: true, force: true });
    });

    async function open(settings: Partial<ObjectStoreSettings> = {}): Promise<ObjectStore> {
      const patience = { tries: 3, timeoutMs: 30_000, pauseMs: 50 };
      const store = new ObjectStore(new ObjectRequests({ ...swift.settings, ...settings }, patience), folder);
      await store.open(Temporal.Now.instant());
      return store;
    }
    const hashOf = (content: Uint8Array) => createHash('sha256').update(content).digest('hex');
    const put = (store: ObjectStore, content: Uint8Array) =>
      store.put(Readable.from([content]), { maxBytes: 64 * 1024 * 1024 });

    it('keeps what it is given, byte for byte, and gives it back', async () => {
      const store = await open();
      await store.probe();
      for (const size of [1, 65_537, 12_000_000]) {
        const content = randomBytes(size);
        expect(await put(store, content)).toEqual({ sha256: hashOf(content), bytes: size });
        expect(await put(store, content)).toEqual({ sha256: hashOf(content), bytes: size });
        expect(await store.size(hashOf(content))).toBe(size);
        expect((await buffer(store.get(hashOf(content)))).equals(content)).toBe(true);
      }
      expect(await readdir(folder)).toEqual([]);
    });

    it('has nothing of what was never put, and forgets what was deleted', async () => {
      const store = await open();
      const absent = hashOf(Buffer.from('never put'));
      expect(await store.size(absent)).toBeUndefined();
      await expect(buffer(store.get(absent))).rejects.toMatchObject({ code: 'ENOENT' });
      await store.delete(absent);
      const { sha256 } = await put(store, Buffer.from('for a while'));
      await store.delete(sha256, Temporal.Now.instant().subtract({ hours: 1 }));
      expect(await store.size(sha256)).toBe(11);
      await store.delete(sha256);
      expect(await store.size(sha256)).toBeUndefined();
    });

    it('lists more than a page in the order of the hashes, which the check relies on', async () => {
      const store = await open();
      const contents = Array.from({ length: 1100 }, (_, n) => Buffer.from(`small photo ${n}`));
      for (let at = 0; at < contents.length; at += 20) {
        await Promise.all(contents.slice(at, at + 20).map((content) => put(store, content)));
      }
      const listed = await Array.fromAsync(store.list());
      const hashes = listed.map(({ sha256 }) => sha256);
      expect(hashes).toEqual(hashes.toSorted());
      expect(contents.filter((content) => !hashes.includes(hashOf(content)))).toEqual([]);
      const faults: StoreFault[] = [];
      const recorded = listed.map(({ sha256, bytes }) => ({ sha256, bytes: [bytes, bytes] as const, photos: 1 }));
      const counts = await checkStore(store, Readable.from(recorded), true, (fault) => faults.push(fault));
      expect([counts.hashed, faults]).toEqual([listed.length, []]);
    });

    it('is refused with a wrong secret, in a sentence', async () => {
      const store = await open({ secret: 'wrong' });
      await expect(put(store, Buffer.from('x'))).rejects.toThrow(
        /refuses the key test:tester .*403 SignatureDoesNotMatch/,
      );
      await expect((await open({ keyId: 'test:nobody' })).probe()).rejects.toThrow(/403/);
      await expect((await open({ bucket: 'no-such-bucket' })).probe()).rejects.toThrow(/has no bucket no-such-bucket/);
    });

    it('is refused when the body is not that of the stated hash', async () => {
      const requests = new ObjectRequests(swift.settings, { tries: 1, timeoutMs: 10_000, pauseMs: 1 });
      const sha256 = hashOf(Buffer.from('what was said'));
      const body = () => Promise.resolve(new Blob(['what was sent']));
      await expect(requests.send('PUT', `/${sha256}`, { sha256, body })).rejects.toThrow(/answered 400/);
      expect(await (await open()).size(sha256)).toBeUndefined();
    });
  },
);
